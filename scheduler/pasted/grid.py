"""Cells as they come from a spreadsheet, and the mistakes in them, each by its cell."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from scheduler.domain.problems import BadInput, Problem, readable

Value = str | int | float | bool | datetime | date | time | timedelta | None
MOST_ROWS = 20_000
MOST_COLUMNS = 400
"""Wider is no table of people and days."""


def name_of(row: int, column: int) -> str:
    """What a cell is called: B7; both from 0."""
    letters, n = "", column + 1
    while n:
        n, rest = divmod(n - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row + 1}"


@dataclass(frozen=True)
class Grid:
    """Cells by row and column, from 0.

    Attributes
    ----------
    source : str
        What it is called in messages.
    rows : sequence of sequence
        Text without spaces around it; None for an empty cell.
    """

    source: str
    rows: Sequence[Sequence[Value]]

    def at(self, row: int, column: int) -> Value:
        """A cell; None where there is none."""
        cells = self.rows[row] if row < len(self.rows) else ()
        return cells[column] if column < len(cells) else None

    def filled(self) -> Iterator[int]:
        """The rows in which something stands."""
        return (n for n, row in enumerate(self.rows) if any(cell is not None for cell in row))


def pasted(text: str, source: str = "what was pasted") -> Grid:
    """What was copied out of a spreadsheet: columns apart by tabs.

    Raises
    ------
    BadInput
        It has no tabs, or too many rows.
    """
    text = text.removeprefix("\ufeff").replace("\x00", "")
    if "\t" not in text and text.strip():
        raise BadInput([Problem(source, None, None, "", (
            "nothing in it is apart by tabs; copy the cells out of the spreadsheet, with their "
            "headings, or bring in the .xlsx itself"
        ))])  # fmt: skip
    try:
        rows = [[_cell(c) for c in row] for row in csv.reader(io.StringIO(text), "excel-tab")]
    except csv.Error as error:
        raise BadInput([Problem(source, None, None, "", f"it cannot be read ({error})")]) from None
    return checked(Grid(source, rows))


def checked(grid: Grid) -> Grid:
    """The same, unless there is too much of it.

    Raises
    ------
    BadInput
    """
    wide = max(map(len, grid.rows), default=0)
    for n, most, what in (
        (len(grid.rows), MOST_ROWS, "rows"), (wide, MOST_COLUMNS, "columns")
    ):  # fmt: skip
        if n > most:
            said = f"{n} {what} are more than a kitchen has; {most} at most"
            raise BadInput([Problem(grid.source, None, None, "", said)])
    return grid


def _cell(text: str) -> str | None:
    return " ".join(text.split()) or None


@dataclass
class Mistakes:
    """Everything that is wrong with a grid, told at once.

    Attributes
    ----------
    grid : Grid
    found : list of Problem
    """

    grid: Grid
    found: list[Problem] = field(default_factory=list)

    def at(self, row: int, column: int, what: object) -> None:
        """Something is wrong with a cell."""
        self._add(name_of(row, column), what)

    def row(self, row: int, what: object) -> None:
        """Something is wrong with a row."""
        self._add(f"row {row + 1}", what)

    def end(self) -> None:
        """Refuse all of it if anything was wrong.

        Raises
        ------
        BadInput
        """
        if self.found:
            raise BadInput(self.found)

    def _add(self, where: str, what: object) -> None:
        self.found.append(Problem(self.grid.source, None, None, where, readable(str(what))))

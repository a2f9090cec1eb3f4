"""A table with headings, read row by row; what is wrong with a cell is told by that cell."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeVar

from scheduler.pasted.grid import Grid, Mistakes, Value
from scheduler.pasted.headings import Words, found

T = TypeVar("T")


class Table:
    """The rows below the headings of a grid.

    Parameters
    ----------
    grid : Grid
    words : mapping
        What a column is, and what its heading may be.
    needed : tuple of tuple of str
        Of each, one column must be there.

    Raises
    ------
    BadInput
        No row has the headings, or one of them twice.
    """

    def __init__(self, grid: Grid, words: Words, needed: tuple[tuple[str, ...], ...]) -> None:
        self.grid, self.mistakes = grid, Mistakes(grid)
        self._headings = found(grid, words, needed)

    def __contains__(self, word: str) -> bool:
        return word in self._headings.columns

    @property
    def unused(self) -> tuple[str, ...]:
        """Cells of headings that say nothing to us."""
        return self._headings.unused

    @property
    def top(self) -> int:
        """The row of the headings."""
        return self._headings.row

    def unit(self, word: str) -> str:
        """What stands in brackets behind a heading: quantity (kg)."""
        return self._headings.units.get(word, "")

    def rows(self) -> Iterator[int]:
        """The rows in which something stands."""
        return (row for row in self.grid.filled() if row > self._headings.row)

    def value(self, row: int, word: str) -> Value:
        """A cell; None where it is empty, or there is no such column."""
        column = self._headings.columns.get(word)
        return None if column is None else self.grid.at(row, column)

    def read(
        self, row: int, word: str, read: Callable[[Value], T], *, needed: bool = False
    ) -> T | None:
        """A cell as what it is to be; None where it is empty or wrong, which is told."""
        value = self.value(row, word)
        if value is None:
            if needed:
                self.wrong(row, word, f"there is no {word} here")
            return None
        try:
            return read(value)
        except ValueError as error:
            self.wrong(row, word, error)
            return None

    def wrong(self, row: int, word: str, what: object) -> None:
        """Something is wrong with a cell; with the row, where it has no such column."""
        if word in self._headings.columns:
            self.mistakes.at(row, self._headings.columns[word], what)
        else:
            self.mistakes.row(row, what)

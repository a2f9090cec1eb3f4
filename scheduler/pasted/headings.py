"""Which row has the headings, and which column is what."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.domain.problems import BadInput, Problem, one_of
from scheduler.pasted.grid import Grid, Value, name_of

_LOOKED_AT = 30
"""Rows from the top; above the headings there may be a title."""
Words = Mapping[str, tuple[str, ...]]
"""What a column is, and what its heading may be."""


@dataclass(frozen=True, slots=True)
class Headings:
    """Where a table begins.

    Attributes
    ----------
    row : int
        That of the headings.
    columns : dict of str to int
        What is known of the table, by column.
    units : dict of str to str
        Units that stand in brackets behind a heading: quantity (kg).
    unused : tuple of str
        Cells of headings that say nothing to us.
    """

    row: int
    columns: dict[str, int]
    units: dict[str, str]
    unused: tuple[str, ...]


def found(grid: Grid, words: Words, needed: tuple[tuple[str, ...], ...]) -> Headings:
    """The headings of a table.

    Parameters
    ----------
    needed : tuple of tuple of str
        Of each, one column must be there.

    Raises
    ------
    BadInput
        No row has them, or one of them twice.
    """
    best: Headings | None = None
    for row in range(min(_LOOKED_AT, len(grid.rows))):
        one = _read(grid, row, words)
        whole = all(any(word in one.columns for word in some) for some in needed)
        if whole and (best is None or len(one.columns) > len(best.columns)):
            best = one
    if best is None:
        said = " and ".join(one_of(some).replace(", ", " or ") for some in needed)
        there = [str(v) for row in grid.rows[:_LOOKED_AT] for v in row if v is not None][:8]
        raise BadInput([Problem(grid.source, None, None, "", (
            f"no row has the headings {said}; the first cells are {', '.join(there) or 'empty'}"
        ))])  # fmt: skip
    return best


def _read(grid: Grid, row: int, words: Words) -> Headings:
    columns: dict[str, int] = {}
    units: dict[str, str] = {}
    unused = []
    known = {name: word for word, names in words.items() for name in (word, *names)}
    for column, value in enumerate(grid.rows[row]):
        text, unit = heading(value)
        word = known.get(text)
        if word is None and not isinstance(value, str):
            continue
        if word is None:
            unused.append(f"{name_of(row, column)} '{value}'")
        elif word in columns:
            raise BadInput([Problem(grid.source, None, None, name_of(row, column), (
                f"'{value}' is there already, in {name_of(row, columns[word])}"
            ))])  # fmt: skip
        else:
            columns[word] = column
            if unit:
                units[word] = unit
    return Headings(row, columns, units, tuple(unused))


def heading(value: Value) -> tuple[str, str]:
    """A heading in small letters, and the unit in brackets behind it."""
    text = str(value or "").strip().rstrip(":*").strip()
    match = re.fullmatch(r"(.*?)\s*[(\[]\s*([^()\[\]]+)\s*[)\]]", text)
    name, unit = (match[1], match[2].strip()) if match else (text, "")
    return " ".join(name.lower().replace("_", " ").replace("-", " ").split()), unit

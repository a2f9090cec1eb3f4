"""Counts: what was found in the stores, as lots on hand of a week."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import count
from typing import Any

from scheduler.domain.quantity import Quantity
from scheduler.pasted.grid import Grid, Mistakes
from scheduler.pasted.headings import Headings, found
from scheduler.pasted.values import Named, amount, moment, text_of

UNITS = ("kg", "g", "l", "ml", "pieces")
"""Columns of numbers that are headed by their unit."""
WORDS: dict[str, tuple[str, ...]] = {
    "component": ("what", "item", "name", "product"),
    "quantity": ("amount", "count", "counted", "on hand", "how much"),
    "unit": ("units",),
    "made": ("made on", "ready", "date", "day made"),
    "store": ("where", "place", "location"),
    "lot": ("id", "batch", "label"),
    "state": (),
    "reserved for": ("event", "for"),
} | {unit: () for unit in UNITS}
"""What headings of counts may be called."""
_NEEDED = (("component",), ("quantity", *UNITS), ("made",))


@dataclass(frozen=True, slots=True)
class Counted:
    """What a table of counts says.

    Attributes
    ----------
    lots : tuple of dict
        As the week has them.
    unused : tuple of str
        Columns that were not used.
    """

    lots: tuple[dict[str, Any], ...]
    unused: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Known:
    """What there is in the kitchen: names by id."""

    components: Mapping[str, str]
    stores: Mapping[str, str]
    events: Mapping[str, str]


def counts(grid: Grid, known: Known) -> Counted:
    """Read a table of counts; of what there is none (0) there is no lot.

    Raises
    ------
    BadInput
        Every mistake, by its cell.
    """
    headings, mistakes = found(grid, WORDS, _NEEDED), Mistakes(grid)
    reader = _Reader(grid, headings, mistakes, known)
    rows = (row for row in grid.filled() if row > headings.row)
    lots = [lot for row in rows if (lot := reader.lot(row)) is not None]
    mistakes.end()
    return Counted(tuple(lots), headings.unused)


class _Reader:
    def __init__(self, grid: Grid, headings: Headings, mistakes: Mistakes, known: Known) -> None:
        self._grid, self._headings, self._mistakes = grid, headings, mistakes
        self._named = {
            "component": Named("component", known.components),
            "store": Named("store", known.stores),
            "reserved for": Named("event", known.events),
        }
        self._ids: dict[str, int] = {}
        self._numbers: dict[str, count[int]] = {}
        self._own = {
            text_of(self._value(row, "lot")) for row in grid.filled() if row > headings.row
        }

    def lot(self, row: int) -> dict[str, Any] | None:
        """A row as a lot; None for none, or where something is wrong with it."""
        before = len(self._mistakes.found)
        component = self._id(row, "component", needed=True)
        quantity = self._quantity(row)
        made = self._read(row, "made", moment, needed=True)
        lot: dict[str, Any] = {
            "id": self._lot(row, component), "component": component,
            "state": text_of(self._value(row, "state")),
            "quantity": quantity.text if quantity is not None else "",
            "made": made.strftime("%Y-%m-%d %H:%M") if made is not None else "",
            "store": self._id(row, "store"), "reserved_for": self._id(row, "reserved for"),
        }  # fmt: skip
        if len(self._mistakes.found) > before or quantity is None or not quantity.base:
            return None
        return {key: value for key, value in lot.items() if value}

    def _value(self, row: int, word: str) -> Any:
        column = self._headings.columns.get(word)
        return None if column is None else self._grid.at(row, column)

    def _read(self, row: int, word: str, read: Any, *, needed: bool = False) -> Any:
        """A cell as what it is to be; None where it is empty or wrong, which is told."""
        value = self._value(row, word)
        if value is None:
            if needed:
                self._mistakes.at(row, self._headings.columns[word], f"there is no {word} here")
            return None
        try:
            return read(value)
        except ValueError as error:
            self._mistakes.at(row, self._headings.columns[word], error)
            return None

    def _id(self, row: int, word: str, *, needed: bool = False) -> str:
        return self._read(row, word, self._named[word].id_of, needed=needed) or ""

    def _quantity(self, row: int) -> Quantity | None:
        """The one amount of a row, in whichever column."""
        filled = [w for w in ("quantity", *UNITS) if self._value(row, w) is not None]
        if len(filled) != 1:
            columns = [w for w in ("quantity", *UNITS) if w in self._headings.columns]
            if filled:
                said = f"there are several amounts: {', '.join(filled)}"
                self._mistakes.row(row, said)
            else:
                said = f"there is no {' or '.join(columns)} here"
                self._mistakes.at(row, self._headings.columns[columns[0]], said)
            return None
        (word,) = filled
        unit = word if word in UNITS else self._headings.units.get(word, "")
        unit = text_of(self._value(row, "unit")) or unit
        found: Quantity | None = self._read(row, word, lambda value: amount(value, unit))
        return found

    def _lot(self, row: int, component: str) -> str:
        """What a lot is called: as it is written, or by its component."""
        written = text_of(self._value(row, "lot"))
        if not written:
            written = next(
                id for n in self._numbers.setdefault(component, count(1))
                if (id := f"{component}-{n}") not in self._own
            )  # fmt: skip
        elif not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", written) or len(written) > 60:
            meant = slug(written)
            self._mistakes.at(row, self._headings.columns["lot"], (
                f"'{written}' is no id: small letters, digits and hyphens. Maybe '{meant}'"
            ))  # fmt: skip
        elif written in self._ids:
            self._mistakes.at(row, self._headings.columns["lot"], (
                f"'{written}' is there already, in row {self._ids[written] + 1}"
            ))  # fmt: skip
        self._ids.setdefault(written, row)
        return written


def slug(text: str) -> str:
    """A text as an id."""
    return "-".join(re.findall(r"[a-z0-9]+", text.lower()))[:60].strip("-")


def with_counts(week: Mapping[str, Any], lots: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """A week with these lots on hand in place of those it had."""
    return {**week, "on_hand": [dict(lot) for lot in lots]}

"""Counts: what was found in the stores, as lots on hand of a week."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import count
from typing import Any

from scheduler.domain.quantity import Quantity
from scheduler.domain.wording import slug
from scheduler.pasted.grid import Grid
from scheduler.pasted.table import Table
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
    table = Table(grid, WORDS, _NEEDED)
    reader = _Reader(table, known)
    lots = [lot for row in table.rows() if (lot := reader.lot(row)) is not None]
    table.mistakes.end()
    return Counted(tuple(lots), table.unused)


class _Reader:
    def __init__(self, table: Table, known: Known) -> None:
        self._table = table
        self._named = {
            "component": Named("component", known.components),
            "store": Named("store", known.stores),
            "reserved for": Named("event", known.events),
        }
        self._ids: dict[str, int] = {}
        self._numbers: dict[str, count[int]] = {}
        self._own = {text_of(table.value(row, "lot")) for row in table.rows()}

    def lot(self, row: int) -> dict[str, Any] | None:
        """A row as a lot; None for none, or where something is wrong with it."""
        table = self._table
        before = len(table.mistakes.found)
        component = self._id(row, "component", needed=True)
        quantity = self._quantity(row)
        made = table.read(row, "made", moment, needed=True)
        lot: dict[str, Any] = {
            "id": self._lot(row, component), "component": component,
            "state": text_of(table.value(row, "state")),
            "quantity": quantity.text if quantity is not None else "",
            "made": made.strftime("%Y-%m-%d %H:%M") if made is not None else "",
            "store": self._id(row, "store"), "reserved_for": self._id(row, "reserved for"),
        }  # fmt: skip
        if len(table.mistakes.found) > before or quantity is None or not quantity.base:
            return None
        return {key: value for key, value in lot.items() if value}

    def _id(self, row: int, word: str, *, needed: bool = False) -> str:
        return self._table.read(row, word, self._named[word].id_of, needed=needed) or ""

    def _quantity(self, row: int) -> Quantity | None:
        """The one amount of a row, in whichever column."""
        table = self._table
        filled = [w for w in ("quantity", *UNITS) if table.value(row, w) is not None]
        if len(filled) != 1:
            columns = [w for w in ("quantity", *UNITS) if w in table]
            if filled:
                table.mistakes.row(row, f"there are several amounts: {', '.join(filled)}")
            else:
                table.wrong(row, columns[0], f"there is no {' or '.join(columns)} here")
            return None
        (word,) = filled
        unit = text_of(table.value(row, "unit")) or (word if word in UNITS else table.unit(word))
        return table.read(row, word, lambda value: amount(value, unit))

    def _lot(self, row: int, component: str) -> str:
        """What a lot is called: as it is written, or by its component."""
        written = text_of(self._table.value(row, "lot"))
        if not written:
            written = next(
                id for n in self._numbers.setdefault(component, count(1))
                if (id := f"{component}-{n}") not in self._own
            )  # fmt: skip
        elif not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", written) or len(written) > 60:
            self._table.wrong(row, "lot", (
                f"'{written}' is no id: small letters, digits and hyphens. Maybe '{slug(written)}'"
            ))  # fmt: skip
        elif written in self._ids:
            self._table.wrong(
                row, "lot", f"'{written}' is there already, in row {self._ids[written] + 1}"
            )
        self._ids.setdefault(written, row)
        return written


def with_counts(week: Mapping[str, Any], lots: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """A week with these lots on hand in place of those it had."""
    return {**week, "on_hand": [dict(lot) for lot in lots]}

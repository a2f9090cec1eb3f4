"""Lists of a document as tables: a row for each entry, and what somebody has typed put back.

What a table has no column for stays in its entry untouched.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ui.editing.mistakes import Mistake
from ui.editing.paths import ABSENT, Path, at, put
from ui.editing.words import Field, text_of, value_of

Edits = Mapping[str, Any]
"""What an editor of tables says: `edited_rows`, `added_rows`, `deleted_rows`."""
Row = dict[str, str | bool | None]
"""Cells by the labels of their columns."""
_NAMES = ("id", "dish", "component", "ingredient", "equipment", "zone", "store", "verb")
"""What an entry is known by to whoever reads a table."""


def rows_of(data: Any, path: Path, columns: Sequence[Field]) -> list[Row]:
    """The rows of a table; a cell is a text, a tick, or None where nothing is written."""
    entries = at(data, path)
    if not isinstance(entries, list):
        return []
    return [{c.label: cell(c, at(entry, c.path)) for c in columns} for entry in entries]


def cell(column: Field, value: Any) -> str | bool | None:
    """What stands in a cell."""
    if column.sort == "yes":
        return value is True
    return text_of(column.sort, value) or None


def typed(column: Field, value: Any) -> Any:
    """What a cell means."""
    if column.sort == "yes":
        return True if value else ABSENT
    return value_of(column.sort, "" if value is None else str(value))


def with_edits(data: Any, path: Path, columns: Sequence[Field], edits: Edits) -> Any:
    """The document with what has been typed into a table of it."""
    by_label = {c.label: c for c in columns}
    for row, cells in edits.get("edited_rows", {}).items():
        for label, value in cells.items():
            if label in by_label:
                column = by_label[label]
                data = _put(data, (*path, int(row), *column.path), typed(column, value))
    there = at(data, path)
    entries = list(there) if isinstance(there, list) else []
    gone = {int(row) for row in edits.get("deleted_rows", ())}
    kept = [entry for i, entry in enumerate(entries) if i not in gone]
    for cells in edits.get("added_rows", ()):
        entry: Any = {}
        for label, value in cells.items():
            if label in by_label:
                entry = _put(entry, by_label[label].path, typed(by_label[label], value))
        kept.append(entry)
    return data if kept == entries else _put(data, path, kept or ABSENT)


def named(entries: Any, mistake: Mistake, path: Path, columns: Sequence[Field]) -> str:
    """In which row and column a mistake in a list is: "row 3 (braise), At most"."""
    inside = (mistake.path or ())[len(path) :]
    if not inside or not isinstance(inside[0], int):
        return ""
    row, *rest = inside
    entry = at(entries, (row,))
    name = next((entry[n] for n in _NAMES if isinstance(entry, dict) and n in entry), "")
    said = f"row {int(row) + 1}" + (f" ({name})" if name else "")
    column = next((c.label for c in columns if tuple(rest[: len(c.path)]) == c.path), "")
    words = column or ", ".join(str(w).replace("_", " ") for w in rest if isinstance(w, str))
    return f"{said}, {words}" if words else said


def moved(data: Any, path: Path, row: int, by: int) -> Any:
    """The document with an entry of a list moved up or down."""
    entries = list(at(data, path))
    to = row + by
    if not (0 <= row < len(entries) and 0 <= to < len(entries)):
        return data
    entries.insert(to, entries.pop(row))
    return put(data, path, entries)


def _put(data: Any, path: Path, value: Any) -> Any:
    made = put(data, path, value)
    return {} if made is ABSENT else made

"""What is different between two versions of a document, entry by entry.

Pure functions of plain data. What is said about a list is said about its
entries, known by their ids (`matching`), so that a step put in front of
another is one difference and not one in every step behind it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any, Final

from scheduler.book.matching import Entry, entries, matched, same
from scheduler.book.merging import Conflict as Conflict
from scheduler.book.merging import Merged as Merged
from scheduler.book.merging import merged as merged
from scheduler.book.telling import names, place, told

Path = tuple[str | Entry, ...]


class _Absent(Enum):
    ABSENT = "left out"


ABSENT: Final = _Absent.ABSENT
"""Stands for what is not written: a field that is left out, an entry that is not in the list."""


@dataclass(frozen=True, slots=True)
class Order:
    """In which order the entries of a list stand that both versions have."""

    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is different.

    Attributes
    ----------
    path : tuple
        Where: fields by name, entries of lists as `Entry`; empty for the whole document.
    old, new : plain data, ABSENT, or Order
        What was there, and what is there now.
    after : Entry or None
        For an entry that is new: the one it stands behind now; None for the first.
    says : str
        The same for a chef: "recipe cheeks, step braise, time: 3 h -> 4 h".
    """

    path: Path
    old: Any
    new: Any
    after: Entry | None
    says: str


def differences(old: Any, new: Any, of: str = "") -> tuple[Difference, ...]:
    """Everything that is different; nothing where two documents are equal.

    Parameters
    ----------
    old, new : dict or None
        Plain data of one document; None where there is none.
    of : str
        What the document is called, to begin each sentence with.
    """
    found = _found((), ABSENT if old is None else old, ABSENT if new is None else new, None)
    return tuple(Difference(p, a, b, after, _says(of, p, a, b)) for p, a, b, after in found)


def applied(old: Any, changes: Iterable[Difference]) -> Any:
    """The newer version, of the older one and everything that is different in it."""
    made = _applied(ABSENT if old is None else old, [(c.path, c) for c in changes])
    return None if made is ABSENT else made


_Found = tuple[Path, Any, Any, Entry | None]


def _found(path: Path, old: Any, new: Any, after: Entry | None) -> Iterator[_Found]:
    if isinstance(old, dict) and isinstance(new, dict):
        for key in [*old, *(k for k in new if k not in old)]:
            yield from _found((*path, key), old.get(key, ABSENT), new.get(key, ABSENT), None)
    elif isinstance(old, list) and isinstance(new, list):
        yield from _in_list(path, old, new)
    elif old is not new and (old is ABSENT or new is ABSENT or not same(old, new)):
        yield path, old, new, after


def _in_list(path: Path, old: list[Any], new: list[Any]) -> Iterator[_Found]:
    by = matched(old, new)
    before, now = entries(by, old), entries(by, new)
    for entry, value in before.items():
        yield from _found((*path, entry), value, now.get(entry, ABSENT), None)
    stayed = tuple(e for e in before if e in now)
    moved = tuple(e for e in now if e in before)
    if stayed != moved:
        yield path, Order(stayed), Order(moved), None
    last: Entry | None = None
    for entry, value in now.items():
        if entry not in before:
            yield (*path, entry), ABSENT, value, last
        last = entry


def _applied(value: Any, changes: Sequence[tuple[Path, Difference]]) -> Any:
    """`changes` with what is left of their paths."""
    if not changes:
        return value
    whole = next((c for rest, c in changes if not rest and not isinstance(c.new, Order)), None)
    if whole is not None:
        return whole.new
    inside: dict[str | Entry, list[tuple[Path, Difference]]] = {}
    for rest, change in changes:
        if rest:
            inside.setdefault(rest[0], []).append((rest[1:], change))
    if isinstance(value, dict):
        made = {k: _applied(v, inside.get(k, ())) for k, v in value.items()}
        made |= {str(k): _applied(ABSENT, some) for k, some in inside.items() if k not in value}
        return {k: v for k, v in made.items() if v is not ABSENT}
    return _list_applied(value, inside, [c.new for rest, c in changes if not rest])


def _list_applied(
    value: list[Any],
    inside: dict[str | Entry, list[tuple[Path, Difference]]],
    orders: list[Order],
) -> list[Any]:
    keys = [*inside, *(e for order in orders for e in order.entries)]
    by = next(k.by for k in keys if isinstance(k, Entry))
    made = {e: _applied(v, inside.get(e, ())) for e, v in entries(by, value).items()}
    line = [e for e, v in made.items() if v is not ABSENT]
    for order in orders:
        line = list(order.entries)
    for entry, some in inside.items():
        if isinstance(entry, Entry) and entry not in made:
            made[entry] = _applied(ABSENT, some)
            after = some[0][1].after
            line.insert(0 if after is None else line.index(after) + 1, entry)
    return [made[e] for e in line]


def _says(of: str, path: Path, old: Any, new: Any) -> str:
    where = ", ".join(word for word in (of, place(path)) if word)
    if isinstance(old, Order) and isinstance(new, Order):
        return f"{where}, order: {names(old.entries)} -> {names(new.entries)}"
    if old is ABSENT or new is ABSENT:
        value, verb = (new, "added") if old is ABSENT else (old, "taken out")
        if not path:
            return f"{where or 'all of it'}: {'new' if old is ABSENT else 'thrown out'}"
        last = path[-1]
        if isinstance(last, Entry):
            if last.by == "place":
                return f"{where} {verb}: {told(value)}"
            return f"{where} {verb}"
        if isinstance(value, (dict, list)):
            return f"{where} {verb}: {told(value)}"
    return f"{where}: {_value(old)} -> {_value(new)}"


def _value(value: Any) -> str:
    return "left out" if value is ABSENT else told(value)

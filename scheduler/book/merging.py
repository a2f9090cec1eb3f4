"""Two versions of a document that began from the same one, put together by the ids inside it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from scheduler.book.matching import Entry, entries, matched, same
from scheduler.book.telling import place, told

Path = tuple[str | Entry, ...]
_NOTHING: Any = object()
_Sides = tuple[Any, Any, Any]
"""What was there before, mine, theirs."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """A place at which both have changed the same, each in another way.

    Attributes
    ----------
    path : tuple
        Fields by name, entries of lists as `matching.Entry`; empty for the whole document.
    base, mine, theirs : plain data or None
        None also where there is nothing.
    says : str
        "step braise, time: 3 h before, 4 h by you, 5 h by the other".
    """

    path: Path
    base: Any
    mine: Any
    theirs: Any
    says: str


@dataclass(frozen=True, slots=True)
class Merged:
    """What two versions come to.

    Attributes
    ----------
    body : dict or None
        With the changes of both; at a conflict it has mine.
    conflicts : tuple of Conflict
        Where somebody must choose; none: both changed something else.
    """

    body: Any
    conflicts: tuple[Conflict, ...]


def merged(base: Any, mine: Any, theirs: Any) -> Merged:
    """Put together what two have made of one document.

    Entries of lists are known by their ids. What has no name (shifts, hands)
    is known by its place, and only where nobody has added or taken out one; it
    is then one's or the other's as a whole, as nobody can say whether it is
    still the same.

    Parameters
    ----------
    base, mine, theirs : dict or None
        Plain data; None where there is none (not yet, or thrown out).
    """
    found: list[Conflict] = []
    begun, ours, others = (_NOTHING if v is None else v for v in (base, mine, theirs))
    return Merged(_plain(_merged((), (begun, ours, others), found)), tuple(found))


def _merged(path: Path, sides: _Sides, found: list[Conflict]) -> Any:
    base, mine, theirs = sides
    if base is _NOTHING and isinstance(mine, list) and isinstance(theirs, list):
        base, sides = [], ([], mine, theirs)  # Both began the list.
    if all(isinstance(v, dict) for v in sides):
        made = {}
        for key in dict.fromkeys((*theirs, *mine)):
            inside = tuple(one.get(key, _NOTHING) for one in sides)
            value = _merged((*path, key), inside, found)
            if value is not _NOTHING:
                made[key] = value
        return made
    if all(isinstance(v, list) for v in sides) and not _settled(sides):
        return _list(path, base, mine, theirs, found)
    return _whole(path, sides, found)


def _settled(sides: _Sides) -> bool:
    """Has one of them changed nothing, or both the same?"""
    base, mine, theirs = sides
    return same(mine, theirs) or same(base, theirs) or same(base, mine)


def _whole(path: Path, sides: _Sides, found: list[Conflict]) -> Any:
    """One's or the other's."""
    base, mine, theirs = sides
    if not _settled(sides):
        _conflict(path, sides, found)
    return theirs if same(base, mine) else mine


def _conflict(path: Path, sides: _Sides, found: list[Conflict]) -> None:
    base, mine, theirs = (_plain(v) for v in sides)
    was, you, other = ("nothing" if v is _NOTHING else told(v) for v in sides)
    where = place(path) or "all of it"
    words = f"{where}: {was} before, {you} by you, {other} by the other"
    found.append(Conflict(path, base, mine, theirs, words))


def _list(
    path: Path, base: list[Any], mine: list[Any], theirs: list[Any], found: list[Conflict]
) -> list[Any]:
    by = matched(base, mine, theirs)
    old, ours, others = (entries(by, one) for one in (base, mine, theirs))
    nameless = by == "place" or (
        by == "itself" and any(isinstance(v, (dict, list)) for v in (*base, *mine, *theirs))
    )
    moved = nameless and not len(base) == len(mine) == len(theirs)
    if moved or (by == "itself" and _both_replace(set(old), set(ours), set(others))):
        _conflict(path, (base, mine, theirs), found)
        return mine
    made = {}
    for entry in dict.fromkeys((*others, *ours)):
        sides = tuple(one.get(entry, _NOTHING) for one in (old, ours, others))
        value = (_whole if nameless else _merged)((*path, entry), sides, found)
        if value is not _NOTHING:
            made[entry] = value
    line = _line(path, list(old), list(ours), list(others), made, found)
    return [made[entry] for entry in line]


def _both_replace(old: set[Entry], ours: set[Entry], others: set[Entry]) -> bool:
    """Both have put something else in the place of the same word."""
    added, also = ours - old, others - old
    return bool(old - ours - others) and bool(added) and bool(also) and added != also


def _line(
    path: Path,
    old: list[Entry],
    ours: list[Entry],
    others: list[Entry],
    made: dict[Entry, Any],
    found: list[Conflict],
) -> list[Entry]:
    """In which order entries stand: that of whoever has changed it; new ones behind theirs."""
    common = set(old) & set(ours) & set(others)
    was, here, there = ([e for e in one if e in common] for one in (old, ours, others))
    first, second = (others, ours) if here in (was, there) else (ours, others)
    if here != was and there != was and here != there:
        before, mine, theirs = ([str(e.name) for e in one] for one in (was, here, there))
        _conflict((*path, "order"), (before, mine, theirs), found)
    line = [e for e in first if e in made]
    for i, entry in enumerate(second):
        if entry in made and entry not in line:
            line.insert(_behind(line, reversed(second[:i])), entry)
    return line


def _behind(line: list[Entry], before: Iterable[Entry]) -> int:
    return next((line.index(e) + 1 for e in before if e in line), 0)


def _plain(value: Any) -> Any:
    return None if value is _NOTHING else value

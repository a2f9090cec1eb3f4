"""Which entry of a list is which in another version of it.

Entries are known by their name (an id, the dish on a menu, what is taken,
what it runs on), plain words by themselves, and what has no name by its place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from scheduler.book.columns import canonical

By = Literal["id", "dish", "what", "on", "itself", "place"]
_NAMED: tuple[By, ...] = ("id", "dish", "what", "on")


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a list, whatever its place.

    Attributes
    ----------
    by : str
        How it is known: by an id, as a dish of a menu, by what is taken, by what it runs on, as
        a word by itself, or only by its place (from 0).
    name : str or int
    """

    by: By
    name: str | int


def same(one: Any, other: Any) -> bool:
    """Are two plain data equal as JSON? 1, 1.0 and true are not."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(v, other[k]) for k, v in one.items())
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)


def matched(*lists: Sequence[Any]) -> By:
    """How entries of versions of a list are told apart: the best way that works in all of them."""
    for by in _NAMED:
        if _unique(by, lists):
            return by
    plain = not any(isinstance(entry, (dict, list)) for one in lists for entry in one)
    if (plain or len({len(one) for one in lists}) > 1) and _unique("itself", lists):
        return "itself"
    return "place"


def entries(by: By, values: Sequence[Any]) -> dict[Entry, Any]:
    """The entries of a list by what they are known by, in their order."""
    return {Entry(by, _name(by, value, i)): value for i, value in enumerate(values)}


def _unique(by: By, lists: Sequence[Sequence[Any]]) -> bool:
    for one in lists:
        names = [_name(by, value, i) for i, value in enumerate(one)]
        if "" in names or len(set(names)) < len(names):
            return False
    return True


def _name(by: By, value: Any, place: int) -> str | int:
    """What an entry is known by; nothing where it has no such name."""
    if by == "place":
        return place
    if by == "itself":
        return canonical(value)
    if not isinstance(value, dict):
        return ""
    if by == "what":
        name = _word(value, "component") or _word(value, "ingredient")
        state = _word(value, "state")
        return f"{name} {state}" if name and state else name
    if by == "on":
        return _word(value, "equipment") or _word(value, "zone") or _word(value, "store")
    return _word(value, by)


def _word(value: dict[str, Any], key: str) -> str:
    word = value.get(key)
    return word if isinstance(word, str) else ""

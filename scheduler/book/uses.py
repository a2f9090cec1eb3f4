"""What a document needs of the recipes, so that none is thrown out under it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from scheduler.book.matching import Entry, entries, matched
from scheduler.book.revisions import Body, Key
from scheduler.book.telling import place
from scheduler.domain.states import called

_NAMES = ("component", "dish")
"""Fields that name a recipe, wherever they stand."""
_LISTS = ("not_beside",)
_PAIRS = ("swap",)
Path = tuple[str | int, ...]


def names_of(body: Body) -> frozenset[str]:
    """What a recipe is called where it is needed: its id, and that of each of its states."""
    id = str(body.get("id"))
    states = body.get("states", ())
    return frozenset({id, *(called(id, str(s.get("id"))) for s in states)})


def uses(body: Body, names: Iterable[str]) -> tuple[str, ...]:
    """Where a document names one of some recipes, in its own words."""
    wanted = frozenset(names)
    found = (path for path, name in _named((), body) if name in wanted)
    return tuple(dict.fromkeys(place(_in_words(body, path)) for path in found))


def needed(body: Body) -> frozenset[str]:
    """Every recipe that a document names."""
    return frozenset(name for _, name in _named((), body))


def _named(path: Path, value: Any) -> Iterator[tuple[Path, str]]:
    if isinstance(value, list):
        for i, one in enumerate(value):
            yield from _named((*path, i), one)
        return
    if not isinstance(value, dict):
        return
    for key, one in value.items():
        if key in _NAMES and isinstance(one, str):
            yield path, one
        elif key in _LISTS and isinstance(one, list):
            yield from (((*path, key), str(name)) for name in one)
        elif key in _PAIRS and isinstance(one, dict):
            yield from (((*path, key), str(name)) for pair in one.items() for name in pair)
        elif isinstance(one, (dict, list)):
            yield from _named((*path, key), one)


def _in_words(body: Body, path: Path) -> tuple[str | Entry, ...]:
    """A path with entries of lists by what they are known by."""
    found: list[str | Entry] = []
    here: Any = body
    for part in path:
        if isinstance(part, int):
            found.append(list(entries(matched(here), here))[part])
        else:
            found.append(part)
        here = here[part]
    return tuple(found)


def reached(bodies: Mapping[Key, Body], begin: Iterable[Key]) -> frozenset[Key]:
    """Some documents and each recipe that they need, however far down."""
    by_name = {
        name: key
        for key, body in bodies.items()
        if key[0] in ("component", "dish")
        for name in names_of(body)
    }
    todo = [key for key in begin if key in bodies]
    found = set(todo)
    while todo:
        for name in needed(bodies[todo.pop()]):
            key = by_name.get(name)
            if key is not None and key not in found:
                found.add(key)
                todo.append(key)
    return frozenset(found)


def belonging(bodies: Mapping[Key, Body], week: str) -> frozenset[Key]:
    """The documents of a week's scenario.

    Components that no dish needs, and not this week either, stay in the book:
    in a folder they would be a mistake, in a book they wait, or are another week's.
    """
    begin = [key for key in bodies if key[0] in ("kitchen", "dish") or key == ("week", week)]
    return reached(bodies, begin)

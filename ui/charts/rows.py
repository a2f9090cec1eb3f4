"""The rows of the chart: bars of a plan by section, person, equipment, store or dish."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Literal

from scheduler.plan.words import Names, several
from ui.charts.bars import Bar, bars, fed_by

By = Literal["section", "person", "equipment", "store", "dish"]
ROWS: dict[By, str] = {
    "section": "by section",
    "person": "by person",
    "equipment": "by equipment",
    "store": "by store",
    "dish": "by dish",
}
"""What the rows may be, and what that is called."""
ANYBODYS = "Anybody"
"""The row of what belongs to no section."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row, and what is on it in order of time.

    Attributes
    ----------
    id, label : str
    bars : tuple of Bar
    always : bool
        It stands there even while nothing is on it.
    """

    id: str
    label: str
    bars: tuple[Bar, ...]
    always: bool = False


def rows_of(names: Names, by: By) -> tuple[Row, ...]:
    """The rows of a whole plan, in the order in which the kitchen writes them."""
    made: dict[By, Callable[[Names, tuple[Bar, ...]], Iterable[Row]]] = {
        "section": _sections,
        "person": _people,
        "equipment": _equipment,
        "store": _stores,
        "dish": _dishes,
    }
    found = (
        replace(row, bars=tuple(b for b in row.bars if b.start < b.end))
        for row in made[by](names, bars(names))
    )
    return tuple(row for row in found if row.bars or row.always)


def within(rows: Iterable[Row], start: int, end: int) -> tuple[Row, ...]:
    """The rows as far as something is on them in a stretch of the week."""
    found = []
    for row in rows:
        there = tuple(b for b in row.bars if b.start < end and b.end > start)
        if there or row.always:
            found.append(replace(row, bars=there))
    return tuple(found)


def only(rows: Iterable[Row], kinds: Iterable[str]) -> tuple[Row, ...]:
    """The rows with some kinds of bar."""
    wanted = frozenset(kinds)
    return tuple(replace(r, bars=tuple(b for b in r.bars if b.kind in wanted)) for r in rows)


def _sections(names: Names, there: tuple[Bar, ...]) -> Iterable[Row]:
    known = [s.id for s in names.scenario.kitchen.sections]
    for section in known:
        # Breaks stand by person; shelves that a duty takes stand by store.
        theirs = tuple(b for b in there if b.section == section and b.kind != "pause")
        yield Row(section, names.section(section), theirs, always=True)
    rest = tuple(
        b
        for b in there
        if b.section not in known and b.kind != "pause" and (b.kind != "duty" or b.people)
    )
    yield Row("", ANYBODYS, rest)


def _people(names: Names, there: tuple[Bar, ...]) -> Iterable[Row]:
    for person in names.scenario.kitchen.people:
        theirs = tuple(b for b in there if person.id in b.people)
        yield Row(person.id, names.person(person.id), theirs, always=True)


def _equipment(names: Names, there: tuple[Bar, ...]) -> Iterable[Row]:
    for kind in names.scenario.kitchen.equipment:
        for unit in kind.each:
            places = max([unit.capacity or 1, *unit.holds.values()])
            size = f" ({places})" if places > 1 else ""
            yield Row(unit.id, names.unit(unit.id) + size, _on(there, unit.id))


def _stores(names: Names, there: tuple[Bar, ...]) -> Iterable[Row]:
    for store in names.scenario.kitchen.stores:
        shelves = several(store.shelves, "shelf", "shelves")
        yield Row(store.id, f"{names.store(store.id)} ({shelves})", _on(there, store.id))


def _on(there: tuple[Bar, ...], place: str) -> tuple[Bar, ...]:
    """What is on a unit or in a store, for as long as it is, each with how much of it."""
    return tuple(
        replace(b, start=at.start, end=at.end, name=", ".join(s for s in (b.name, at.says) if s))
        for b in there
        for at in b.places
        if at.id == place
    )


def _dishes(names: Names, there: tuple[Bar, ...]) -> Iterable[Row]:
    """What each dish needs, until the last of its plates goes away."""
    ends_on = fed_by(names)
    order = {c.dish: None for e in names.scenario.week.events for c in e.menu}
    for dish in order:
        own = {b.id for b in names.plan.batches if b.dish == dish}
        last = max((b.end for b in there if b.batch in own), default=names.scenario.clock.horizon)
        theirs = (b for b in there if dish in ends_on.get(b.batch, ()) and b.start < last)
        bars_of = tuple(replace(b, end=min(b.end, last)) for b in theirs)
        yield Row(dish, names.component(dish), bars_of)
    loose = tuple(b for b in there if b.batch and not ends_on.get(b.batch))
    yield Row("", "For no dish", loose)

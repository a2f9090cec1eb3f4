"""Wishes: musts become windows, eligibility and options; the others become prices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.domain.times import Hours
from scheduler.workload.builder import first, last
from scheduler.workload.calendars import both, merged, without
from scheduler.workload.primitives import HORIZON_START, Band, Choice, Dear, Line, Point

if TYPE_CHECKING:
    from scheduler.domain.wishes import Wish
    from scheduler.workload.builder import Builder
    from scheduler.workload.compiled import TaskRecord, VisitRecord
    from scheduler.workload.primitives import Way

START = Point(HORIZON_START)
BY_HAND = ("hands", "load", "unload")
"""What a wish speaks of when it says who, or on which days."""


def add_wishes(b: Builder) -> None:
    """Every wish, on every task of its component (or of its step) that has not begun."""
    for wish in b.scenario.week.wishes:
        records = [r for r in b.records if _speaks_of(b, wish, r) and r.began is None]
        if wish.person is not None:
            _person(b, wish, records)
        elif wish.unit is not None:
            _unit(b, wish, records)
        elif wish.days:
            _days(b, wish, records)
        else:
            _moment(b, wish, records)


def _speaks_of(b: Builder, wish: Wish, record: TaskRecord) -> bool:
    """Is it a step of the component that is wished about? Washing up afterwards is none."""
    batch = b.built[record.batch].batch
    own = any(stage.step.id == record.step for stage in batch.stages)
    return own and batch.component == wish.component and wish.step in (None, record.step)


def _by_hand(records: list[TaskRecord]) -> Iterator[VisitRecord]:
    """Hands all the way, loading and unloading."""
    for record in records:
        for visit in record.visits:
            if visit.kind in BY_HAND:
                yield visit


# -- who -------------------------------------------------------------------------


def _person(b: Builder, wish: Wish, records: list[TaskRecord]) -> None:
    who = next(i for i, p in enumerate(b.scenario.kitchen.people) if p.id == wish.person)
    for visit in _by_hand(records):
        crew = b.crews[visit.item]
        ways = tuple(x for way in crew.ways for x in _ways(b, wish, way, who))
        if not ways and crew.ways:
            _nobody(b, wish)
        b.crews[visit.item] = replace(crew, ways=ways or crew.ways)
    if wish.kind == "must not":
        for record in records:
            for visit in record.visits:
                if visit.kind == "tend":
                    tend = b.tends[visit.item]
                    b.tends[visit.item] = replace(tend, lines=_others(b, wish, tend.lines, who))
                elif visit.kind == "add":
                    add = b.adds[visit.item]
                    b.adds[visit.item] = replace(add, lines=_others(b, wish, add.lines, who))


def _nobody(b: Builder, wish: Wish) -> None:
    what = f"nobody whom its hands allow is left by the wish that it {wish.words}"
    b.complaints.add(f"wish for {wish.component}", what)


def _others(b: Builder, wish: Wish, lines: tuple[Line, ...], who: int) -> tuple[Line, ...]:
    """The lines of a visit without them."""
    left = without_person(lines, who)
    short = [x for x in left if len(x.people) < x.count]
    if short and all(len(x.people) >= x.count for x in lines):
        _nobody(b, wish)
    return left


def _ways(b: Builder, wish: Wish, way: Way, who: int) -> Iterator[Way]:
    """A way with them in each place that knows them, and the way without them; as wished."""
    price = b.scenario.kitchen.wish.job
    never, must = wish.kind.endswith("not"), wish.kind.startswith("must")
    if not (must and never):
        cost = way.price + (price if never else 0)
        for lines in with_person(way.lines, who):
            yield replace(way, lines=lines, price=cost)
    if never or not must:
        lines = without_person(way.lines, who)
        if all(len(line.people) >= line.count for line in lines):
            yield replace(way, lines=lines, price=way.price + (0 if never else price))


def with_person(lines: tuple[Line, ...], who: int) -> Iterator[tuple[Line, ...]]:
    """Lines of which one place is theirs, for each line that knows them."""
    for i, line in enumerate(lines):
        if who in line.people:
            others = tuple(p for p in line.people if p != who)
            rest = (Line(others, line.count - 1),) if line.count > 1 else ()
            if len(others) >= line.count - 1:
                yield (
                    *without_person(lines[:i], who),
                    Line((who,)),
                    *rest,
                    *without_person(lines[i + 1 :], who),
                )


def without_person(lines: tuple[Line, ...], who: int) -> tuple[Line, ...]:
    """Nobody's place is theirs."""
    return tuple(replace(x, people=tuple(p for p in x.people if p != who)) for x in lines)


# -- on what ---------------------------------------------------------------------


def _unit(b: Builder, wish: Wish, records: list[TaskRecord]) -> None:
    """Options on the unit, or on others, go or cost `job`."""
    resource, price = b.unit[wish.unit or ""], b.scenario.kitchen.wish.job
    uses = [o.use for r in records for o in (*r.taken, *(o for v in r.visits for o in v.taken))]
    for choice in dict.fromkeys(b.uses[n].choice for n in uses):
        options = b.choices[choice].options
        if not any(o.resource == resource for o in options):
            continue
        unwished = [(o.resource == resource) == wish.kind.endswith("not") for o in options]
        if wish.kind.startswith("must"):
            left = tuple(o for o, bad in zip(options, unwished, strict=True) if not bad)
            if not left:
                b.complaints.add(
                    wish.component, f"a load that fits no unit but {wish.unit} must not be on it"
                )
        else:
            left = tuple(
                replace(o, price=o.price + price) if bad else o
                for o, bad in zip(options, unwished, strict=True)
            )
        b.choices[choice] = Choice(b.choices[choice].batch, left or options)


# -- when ------------------------------------------------------------------------


def _days(b: Builder, wish: Wish, records: list[TaskRecord]) -> None:
    """Hands lie wholly on days that are allowed; a start on another costs `job`."""
    clock = b.calendar.clock
    spans = merged(
        clock.span(day, Hours(0, 1440))
        for day in clock.days()
        if any(day in days for days in wish.days)
    )
    week = ((0, clock.horizon),)
    wished = both(spans, week)
    if wish.kind.endswith("not"):
        wished = without(week, wished)
    tasks = dict.fromkeys(visit.task for visit in _by_hand(records))
    if wish.kind.startswith("must"):
        allowed = b.calendar.ticks(wished)
        for t in tasks:
            old = b.tasks[t].within
            b.tasks[t] = replace(b.tasks[t], within=allowed if old is None else both(old, allowed))
        return
    price = b.scenario.kitchen.wish.job
    dear = tuple(
        Dear(b.up(start), b.up(end), price, wish=True) for start, end in without(week, wished)
    )
    for t in tasks:
        b.tasks[t] = replace(b.tasks[t], dear=b.tasks[t].dear + dear)


def _moment(b: Builder, wish: Wish, records: list[TaskRecord]) -> None:
    """done_by: the step's end, or that of the last one. not_before: its start, or the first's."""
    clock, weight = b.calendar.clock, b.scenario.kitchen.wish.minute
    if wish.done_by is not None:
        minute = clock.minute(wish.done_by)
        for record in _edge(b, wish, records, -1):
            end = last(record)
            if wish.kind == "must":
                task = b.tasks[end.task]
                b.tasks[end.task] = replace(task, latest=min(task.latest, b.down(minute)))
            elif weight:
                b.link(START, end, None, None, Band(0, minute, weight, wish=True))
    elif wish.not_before is not None:
        minute = clock.minute(wish.not_before)
        for record in _edge(b, wish, records, 0):
            start = first(record)
            if wish.kind == "must":
                task = b.tasks[start.task]
                b.tasks[start.task] = replace(task, earliest=max(task.earliest, b.up(minute)))
            elif weight:
                horizon = b.calendar.horizon * b.grid
                b.link(START, start, None, None, Band(minute, horizon, weight, wish=True))


def _edge(b: Builder, wish: Wish, records: list[TaskRecord], end: int) -> list[TaskRecord]:
    """Tasks of the wish's step, or of the first or last step of each batch."""
    if wish.step is not None:
        return records
    return [
        r for r in records if r.step == b.built[r.batch].batch.stages[end].step.id
    ]

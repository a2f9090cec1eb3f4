"""Breaks that move: each is in the plan, inside its stretch of the shift, and long enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.plan.audit.amounts import up
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.rest import eaten, work_of
from scheduler.plan.audit.stretches import common, inside, merged, without

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from scheduler.plan.audit.brigade import Brigade
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.stretches import Stretch


@dataclass(frozen=True, slots=True)
class Due:
    """A break that is due: whose, where it may lie, how long it is at least.

    `let_go`: where it may lie when somebody accepts that it is late; `sooner`: with the part
    of the shift in which they eat their rest.
    """

    name: str
    person: str
    day: date
    room: list[Stretch]
    length: int
    let_go: list[Stretch]
    sooner: list[Stretch]


def due(facts: Facts, brigade: Brigade) -> Iterator[Due]:
    """Every break that moves, of every shift that planning meets."""
    clock = facts.scenario.clock
    ahead = [(facts.now, facts.horizon)]
    for person in facts.scenario.kitchen.people:
        for day in clock.days(margin=2):
            if day in person.off:
                continue
            which = 0
            for shift in person.shifts:
                if not any(day in d for d in shift.days):
                    continue
                for pause in shift.floating_breaks:
                    which += 1
                    between = pause.between
                    if between.start < shift.hours.start:
                        between = type(between)(between.start + 1440, between.end + 1440)
                    start, end = clock.span(day, between)
                    free = common(ahead, brigade.free(person.id))
                    room = common(free, [(start, end)])
                    late = [
                        x.late or 0
                        for x in facts.scenario.week.accepted
                        if (x.rule, x.person, x.day) == ("break", person.id, day)
                    ]
                    latest = [(start, end + max(late, default=0))]
                    let_go = common(free, latest)
                    whole = merged([*free, *common(ahead, brigade.sooner[person.id])])
                    if brigade.open is not None:
                        whole = common(whole, brigade.open)
                    sooner = common(whole, latest)
                    name = f"{person.id}/{day.isoformat()}/{which}"
                    yield Due(name, person.id, day, room, pause.length, let_go, sooner)


def _fits(facts: Facts, room: list[Stretch], length: int) -> bool:
    """Is there room for so many minutes between two points of the grid?"""
    return any(facts.down(b) - up(a, facts.grid) >= length for a, b in room)


def check(facts: Facts, brigade: Brigade) -> None:
    """Rule `break`."""
    there = {b.id: b for b in facts.plan.breaks}
    came = {(x.rest.person, x.rest.day) for x in eaten(facts)}
    work = work_of(facts) if came else {}
    for one in due(facts, brigade):
        needed = up(one.length, facts.grid)
        if (one.person, one.day) in came and not _fits(facts, one.let_go, needed):
            # Whoever eats their rest has the break nevertheless, though the plan does not say when.
            left = without(one.sooner, merged(work.get(one.person, [])))
            if _fits(facts, one.sooner, needed) and not _fits(facts, left, needed):
                what = f"{one.person} comes in before their rest is over and has no time for it"
                facts.broken("break", one.name, what)
        planned = there.pop(one.name, None)
        if planned is None:
            # Between two points of the grid there may be no room for it.
            if _fits(facts, one.room, needed):
                facts.broken("break", one.name, f"the break of {one.person} is not in the plan")
            continue
        if planned.person != one.person:
            facts.broken("break", one.name, f"is the break of {one.person}, not {planned.person}")
        if planned.end - planned.start < one.length:
            facts.broken(
                "break",
                one.name,
                f"lasts {lasting(planned.end - planned.start)}, at least {lasting(one.length)}",
            )
        if not inside(one.room, planned.start, planned.end):
            what = f"{facts.span(planned.start, planned.end)} is not where it may be, "
            what += " or ".join(facts.span(a, b) for a, b in one.room)
            if inside(one.let_go, planned.start, planned.end):
                facts.house("break", one.name, what, person=one.person, day=one.day)
            else:
                facts.broken("break", one.name, what)
        if planned.start % facts.grid or planned.end % facts.grid:
            facts.broken("grid", one.name, f"{facts.at(planned.start)} is not on the grid")
    for name in there:
        facts.broken("break", name, "is no break of this kitchen")

"""Standing duties: fixed blocks that take people, equipment and shelves.

In the middle of a week one that runs is cut where its people leave: what had begun stays theirs,
the rest is a part of its own, for whoever is there; and it gets as many as there are.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.domain.hazards import met_on
from scheduler.domain.recipes import Need
from scheduler.plan.model import occurrence_of
from scheduler.workload.barred import grown_up
from scheduler.workload.compiled import DutyRecord
from scheduler.workload.hands import add_crew, eligible, training
from scheduler.workload.leaving import leave_of
from scheduler.workload.places import take, wanted_by_duty
from scheduler.workload.primitives import Line, Option, Point, Way
from scheduler.workload.staffing import Block, manned, staffed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.kitchen import Duty
    from scheduler.plan.model import Past, PlannedDuty
    from scheduler.workload.builder import Builder


@dataclass(frozen=True, slots=True)
class _Part:
    """An occurrence of a duty that planning meets, or a part of one; ticks.

    `start`, `end`: of the duty as it is written; `first`, `last`: what planning sees of it;
    `people`: who may do it; `count`: how many it takes.
    """

    duty: Duty
    name: str
    start: int
    end: int
    first: int
    last: int
    people: tuple[int, ...]
    count: int

    @property
    def block(self) -> Block:
        """What it asks of people."""
        leave = self.duty.may_leave
        return Block(
            self.name, self.first, self.last, self.people, self.count, leave is not None,
            leave is not None and leave.breaks,
        )  # fmt: skip


def add_duties(b: Builder, past: Past | None = None) -> None:
    """Every occurrence that planning meets, from planning on, with its own choice of people."""
    parts = list(_parts(b, past))
    if past is None:
        staffed(b, [part.block for part in parts if part.count])
    else:
        parts = _as_many_as_there_are(b, parts, past)
    for part in parts:
        _add(b, part)


def _parts(b: Builder, past: Past | None) -> Iterator[_Part]:
    for duty in b.scenario.kitchen.duties:
        people: tuple[int, ...] = ()
        needs = _needs(duty)
        met = met_on(b.scenario, needs)
        if duty.people and duty.section is not None:
            people = eligible(
                b.scenario.kitchen.people, duty.section, duty.level, training(b, needs)
            )
        for day in b.calendar.clock.days(margin=2):
            if not any(day in days for days in duty.days):
                continue
            start, end = b.calendar.clock.span(day, duty.hours)
            first = max(b.up(start), b.calendar.now)
            last = min(b.down(end), b.calendar.horizon)
            if first < last:
                able = grown_up(b, people, met, start) if people else ()
                count = duty.people if duty.section is not None else 0
                part = _Part(
                    duty, f"{duty.id}/{day.isoformat()}", b.up(start), b.down(end), first, last,
                    able, count,
                )  # fmt: skip
                yield from (part,) if past is None else _cut(b, part, past)


def _cut(b: Builder, part: _Part, past: Past) -> Iterator[_Part]:
    """A duty in the parts that it has by now, and one more where its people leave it."""
    begun = [d for d in past.duties if occurrence_of(d.id) == part.name]
    for n, was in enumerate(begun):
        over = n + 1 < len(begun)
        until = b.down(was.end) if over else _until(b, part, was, past)
        first = max(b.down(was.start), b.calendar.now)
        if first < until:
            yield replace(part, name=was.id, first=first, last=until, count=len(was.people))
        if until < part.last and not over:
            yield replace(part, name=f"{part.name}/{n + 2}", first=until)
    if not begun:
        yield part


def _until(b: Builder, part: _Part, was: PlannedDuty, past: Past) -> int:
    """Until when all of its people are there."""
    pausing = part.block.pausing
    hours = b.calendar.people if pausing else b.calendar.working
    found, now = part.last, b.up(past.now)
    if part.count and not was.people:  # perhaps somebody is there by now
        return min(found, now)
    for who in was.people:
        p = b.person[who]
        there = [z for a, z in b.calendar.longer(p, hours[p]) if a <= now < z]
        found = min(found, *there) if there else min(found, now)
    return found


def _as_many_as_there_are(b: Builder, parts: list[_Part], past: Past) -> list[_Part]:
    """Each with as many people as it still gets: whoever is at what runs is not asked."""
    begun, broken = {d.id: d for d in past.duties}, {x.task for x in past.broken_off}
    had = {(w.task, b.person[who]) for w in past.was for who in w.people if who in b.person}
    busy = [
        (who, b.down(v.start), b.up(v.end))
        for task in past.tasks if task.id not in broken
        for v in task.visits if v.start < past.now < v.end
        for who in v.people
    ]  # fmt: skip
    busy += [
        (pause.person, b.down(pause.start), b.up(pause.end))
        for pause in past.breaks if pause.end > past.now
    ]  # fmt: skip
    busy += [
        (who, part.first, part.last)
        for part in parts if part.name in begun and part.duty.may_leave is None
        for who in begun[part.name].people
    ]  # fmt: skip

    def free(part: _Part, p: int) -> bool:
        return (part.name, p) in had or not any(
            b.person.get(who) == p and start < part.last and end > part.first
            for who, start, end in busy
        )

    asked = [
        replace(part.block, people=tuple(p for p in part.people if free(part, p)))
        for part in parts if part.count and part.name not in begun
    ]  # fmt: skip
    there = manned(b, asked, b.up(past.now))
    lacking = Counter(past.unmanned)
    found = list[_Part]()
    for part in parts:
        if part.name in there:
            part = replace(part, count=max(0, there[part.name] - lacking[part.name]))
            last = found[-1] if found else None
            if last is not None and _goes_on(last, part):  # nobody before, nobody now
                found[-1] = replace(last, last=part.last)
                continue
        found.append(part)
    return found


def _goes_on(last: _Part, part: _Part) -> bool:
    """Is it the rest of a duty that nobody was at, and still nobody?"""
    same = occurrence_of(last.name) == occurrence_of(part.name)
    return same and last.last == part.first and not last.count + part.count


def _needs(duty: Duty) -> list[Need]:
    return [Need(equipment=t.equipment, amount=t.amount, tray=t.tray) for t in duty.equipment]


def _add(b: Builder, part: _Part) -> None:
    duty, needs = part.duty, _needs(part.duty)
    batch = b.add_batch(part.name, fixed=True)
    long = part.last - part.first
    task = b.add_task(part.name, batch, long, long, part.first, part.last)
    place = None
    if part.count:
        leave, longer = leave_of(
            b, duty.may_leave, part.count, part.first - part.start, part.end - part.last
        )
        way = Way((Line(part.people, part.count),), max(0, long - longer), long)
        place = add_crew(b, task, (way,), leave)
    taken = [
        (one.use, one.places)
        for n, need in enumerate(needs)
        for one in take(b, batch, n, wanted_by_duty(b, need), Point(task), Point(task, True))
    ]
    for held in duty.held:
        kind, (unit, *_) = b.kinds.of(held.equipment)
        state = b.ovens.states[kind.id].index((held.mode, held.celsius))
        b.add_use(batch, (Option(b.unit[unit.id], state),), 0, Point(task), Point(task, True))
    for shelves in duty.stores:
        b.add_use(
            batch, (Option(b.store[shelves.store]),), shelves.shelves, Point(task),
            Point(task, True),
        )  # fmt: skip
    b.duties.append(DutyRecord(part.name, duty.id, task, place, tuple(taken)))

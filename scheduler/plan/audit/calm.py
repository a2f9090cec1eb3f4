"""Calm: shifts without long jobs begun late, without too much moving, and days not full."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.people import lines
from scheduler.plan.audit.report import Cost

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Person
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.model import Taken


@dataclass(frozen=True, slots=True)
class Work:
    """Hands of one person: when, at what, of which section (None: nobody's own)."""

    start: int
    end: int
    job: tuple[str, str]
    section: str | None
    late: bool
    """A step of a component that is hands all the way."""


@dataclass(slots=True)
class Turn:
    """One shift and the work in it; `full`: minutes of work that are free on an event's day."""

    start: int
    end: int
    full: int | None
    work: list[Work]


def costs(facts: Facts) -> Iterator[Cost]:
    """Every cost of calm, and of days that are too full."""
    kitchen = facts.scenario.kitchen
    if not any(
        (
            kitchen.calm.late_start,
            kitchen.calm.section_change,
            kitchen.calm.job_change,
            kitchen.time_in_hand.day_full is not None,
        )
    ):
        yield from _things(facts)
        return
    work = _work(facts)
    for person in kitchen.people:
        turns = _turns(facts, person)
        for one in work.get(person.id, []):
            if turns:
                # It belongs to the last shift that starts before it ends.
                mine = [t for t in turns if t.start < one.end] or turns[:1]
                mine[-1].work.append(one)
        for turn in turns:
            turn.work.sort(key=lambda w: (w.start, w.end, w.job))
            yield from _turn(facts, person.id, turn)
    yield from _things(facts)


def _work(facts: Facts) -> dict[str, list[Work]]:
    found: dict[str, list[Work]] = defaultdict(list)
    for task in facts.plan.tasks:
        making = facts.makings.get(task.batch)
        stage = making.stage(task.step) if making else None
        if making is None or stage is None:
            continue
        for visit in task.visits:
            hands, section, _ = lines(facts, making, stage, visit)
            of = hands[0].section or section if hands else section
            late = visit.kind == "hands" and making.component is not None
            for person in visit.people:
                found[person].append(
                    Work(
                        max(visit.start, facts.now),
                        visit.end,
                        (task.batch, task.step),
                        None if of == ANYONE else of,
                        late,
                    )
                )
    section_of = {d.id: d.section for d in facts.scenario.kitchen.duties}
    for duty in facts.plan.duties:
        for person in duty.people:
            job = (duty.id, "")
            found[person].append(
                Work(duty.start, duty.end, job, section_of.get(duty.duty), False)
            )
    return found


def _turns(facts: Facts, person: Person) -> list[Turn]:
    clock, share = facts.scenario.clock, facts.scenario.kitchen.time_in_hand.day_full
    days = {event.first_plate.date() for event in facts.scenario.week.events}
    turns = []
    for day in clock.days(margin=2):
        for shift in person.shifts:
            if day in person.off or not any(day in some for some in shift.days):
                continue
            start, end = clock.span(day, shift.hours)
            counts = share is not None and day in days
            full = int((end - start) * share.part) if share is not None and counts else None
            turns.append(Turn(start, end, full, []))
    return sorted(turns, key=lambda t: (t.start, t.end))


def _turn(facts: Facts, who: str, turn: Turn) -> Iterator[Cost]:
    rates, hand = facts.scenario.kitchen.calm, facts.scenario.kitchen.time_in_hand
    when = facts.at(turn.start)
    if turn.full is not None:
        spent, until = 0, -1 << 40
        for one in turn.work:
            spent += max(0, one.end - max(one.start, until))
            until = max(until, one.end)
        over = spent - turn.full
        if over > 0:
            yield Cost(
                "in_hand",
                hand.price * over,
                who,
                f"works {lasting(over)} more than wanted on an event's day, from {when}",
            )
    for one in turn.work:
        long = one.late and one.end - one.start >= rates.long_job
        if rates.late_start and long and turn.end - one.start < rates.last_part:
            left = lasting(max(0, turn.end - one.start))
            said = f"begins {'/'.join(one.job)} of {lasting(one.end - one.start)} with {left} left"
            yield Cost("calm", rates.late_start, who, said)
    moving = [
        one
        for one in turn.work
        if one.end - one.start > rates.short
        or (one.start >= turn.start + rates.ends and one.end <= turn.end - rates.ends)
    ]
    sections = [one.section for one in moving if one.section is not None]
    moved = sum(sections[i] != sections[i - 1] for i in range(1, len(sections)))
    if moved and rates.section_change:
        said = f"is moved between sections {moved} times in the shift from {when}"
        yield Cost("calm", rates.section_change * moved, who, said)
    changes = sum(moving[i].job != moving[i - 1].job for i in range(1, len(moving)))
    if changes > rates.free_changes and rates.job_change:
        said = f"changes jobs {changes} times in the shift from {when}"
        yield Cost("calm", rates.job_change * (changes - rates.free_changes), who, said)


def _things(facts: Facts) -> Iterator[Cost]:
    """Hand-overs, ovens set to something else, and machines cleaned between contents."""
    rates = facts.scenario.kitchen.calm
    if rates.hand_over:
        for task in facts.plan.tasks:
            by = {v.kind: set(v.people) for v in task.visits}
            if "load" in by and "unload" in by and not by["load"] & by["unload"]:
                yield Cost(
                    "calm", rates.hand_over, task.id, "is loaded by some and unloaded by others"
                )
    if rates.oven_change:
        ovens: dict[str, list[Taken]] = defaultdict(list)
        for task in facts.plan.tasks:
            for taken in (*task.taken, *(t for v in task.visits for t in v.taken)):
                if taken.unit is not None and taken.celsius is not None:
                    ovens[taken.unit].append(taken)
        for unit, uses in ovens.items():
            told = sorted(
                (t.start, t.end, t.mode or "", t.celsius or 0) for t in uses if t.start < t.end
            )
            settings = [t[2:] for t in told]
            changes = sum(settings[i] != settings[i - 1] for i in range(1, len(settings)))
            if changes:
                yield Cost(
                    "calm", rates.oven_change * changes, unit, f"is set anew {changes} times"
                )
    if rates.clean_down:
        for done in facts.plan.clean_downs:
            took = done.end - done.start
            what = f"is cleaned for {lasting(took)} before {done.before}"
            yield Cost("calm", rates.clean_down * took, done.unit, what)

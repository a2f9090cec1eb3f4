"""Shifts, jobs and rates of the term that only whole plans have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.washing import wash_step
from scheduler.workload.model import PLATING
from scheduler.workload.primitives import Calm, Job, Shift
from scheduler.workload.steps import section_of

if TYPE_CHECKING:
    from scheduler.domain.recipes import Hands, Step
    from scheduler.workload.builder import Builder
    from scheduler.workload.compiled import TaskRecord


def calm_of(b: Builder) -> Calm | None:
    """None where the kitchen gives none of it a price."""
    rates, hand = b.scenario.kitchen.calm, b.scenario.kitchen.time_in_hand
    over = hand.price if hand.day_full is not None else 0
    priced = (
        rates.late_start, rates.section_change, rates.job_change, rates.hand_over,
        rates.oven_change, rates.clean_down, over,
    )  # fmt: skip
    if not any(priced):
        return None
    crews: list[Job | None] = [None] * len(b.crews)
    tends: list[Job | None] = [None] * len(b.tends)
    adds: list[Job | None] = [None] * len(b.adds)
    handed: list[tuple[int, int]] = []
    numbers: dict[object, int] = {}
    for record in b.records:
        number = numbers.setdefault((record.batch, record.step), len(numbers))
        by_kind: dict[str, int] = {}
        for visit in record.visits:
            section = _section(b, record, visit.kind, visit.index)
            late = visit.kind == "hands" and b.built[record.batch].batch.component is not None
            into = {"tend": tends, "add": adds}.get(visit.kind, crews)
            into[visit.item] = Job(number, section, late)
            by_kind[visit.kind] = visit.item
        if "load" in by_kind and "unload" in by_kind:
            handed.append((by_kind["load"], by_kind["unload"]))
    sections = [s.id for s in b.scenario.kitchen.sections]
    of_duty = {d.id: d.section for d in b.scenario.kitchen.duties}
    for duty in b.duties:
        if duty.crew is not None:
            number = numbers.setdefault(duty.id, len(numbers))
            section_name = of_duty[duty.duty]
            place = sections.index(section_name) if section_name in sections else -1
            crews[duty.crew] = Job(number, place)
    return Calm(
        _shifts(b), tuple(crews), tuple(tends), tuple(adds), tuple(handed), over,
        rates.late_start, rates.long_job, rates.last_part, rates.section_change,
        rates.job_change, rates.free_changes, rates.short, rates.ends, rates.hand_over,
        rates.oven_change, rates.clean_down,
    )  # fmt: skip


def _section(b: Builder, record: TaskRecord, kind: str, index: int) -> int:
    """The section of the first line of a visit's hands; -1 for anyone."""
    built = b.built[record.batch]
    hands: tuple[Hands, ...]
    if record.step == PLATING and built.batch.dish is not None:
        dish = b.scenario.dish[built.batch.dish]
        hands, section = dish.plating.hands, dish.section
    else:
        own = (s.step for s in built.batch.stages if s.step.id == record.step)
        step: Step | None = next(own, None) or wash_step(b.scenario, record.step)
        assert step is not None
        section = section_of(b, built, step)
        visit = {"load": step.load, "unload": step.unload}.get(kind)
        if kind == "tend":
            visit = step.tend[0]
        elif kind == "add":
            visit = step.add[index]
        hands = step.hands if visit is None else visit.hands
    name = hands[0].section or section
    sections = [s.id for s in b.scenario.kitchen.sections]
    return sections.index(name) if name in sections else -1


def _shifts(b: Builder) -> tuple[tuple[Shift, ...], ...]:
    """Every shift as written, minutes; on an event's day with the minutes that are free."""
    clock, full = b.scenario.clock, b.scenario.kitchen.time_in_hand.day_full
    event_days = {e.first_plate.date() for e in b.scenario.week.events}
    found = []
    for person in b.scenario.kitchen.people:
        mine = []
        for shift in person.shifts:
            for day in clock.days(margin=2):
                if day in person.off or not any(day in days for days in shift.days):
                    continue
                start, end = clock.span(day, shift.hours)
                most = None
                if full is not None and day in event_days:
                    most = int(full.part * (end - start))
                mine.append(Shift(start, end, most))
        found.append(tuple(sorted(mine, key=lambda s: (s.start, s.end))))
    return tuple(found)

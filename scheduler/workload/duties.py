"""Standing duties: fixed blocks that take people, equipment and shelves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.hazards import met_on
from scheduler.domain.recipes import Need
from scheduler.workload.barred import grown_up
from scheduler.workload.compiled import DutyRecord
from scheduler.workload.hands import add_crew, eligible, training
from scheduler.workload.leaving import leave_of
from scheduler.workload.places import take, wanted_by_duty
from scheduler.workload.primitives import Line, Option, Point, Way

if TYPE_CHECKING:
    from scheduler.workload.builder import Builder


def add_duties(b: Builder) -> None:
    """Every occurrence that planning meets, from planning on, with its own choice of people."""
    for duty in b.scenario.kitchen.duties:
        needs = [Need(equipment=t.equipment, amount=t.amount, tray=t.tray) for t in duty.equipment]
        crew: tuple[Line, ...] = ()
        if duty.people and duty.section is not None:
            people = eligible(
                b.scenario.kitchen.people, duty.section, duty.level, training(b, needs)
            )
            crew = (Line(people, duty.people),)
        met = met_on(b.scenario, needs)
        for day in b.calendar.clock.days(margin=2):
            if not any(day in days for days in duty.days):
                continue
            start, end = b.calendar.clock.span(day, duty.hours)
            first = max(b.up(start), b.calendar.now)
            last = min(b.down(end), b.calendar.horizon)
            if first >= last:
                continue
            name = f"{duty.id}/{day.isoformat()}"
            batch = b.add_batch(name, fixed=True)
            task = b.add_task(name, batch, last - first, last - first, first, last)
            place = None
            if crew:
                leave, longer = leave_of(
                    b, duty.may_leave, duty.people, first - b.up(start), b.down(end) - last
                )
                grown = (Line(grown_up(b, crew[0].people, met, start), duty.people),)
                way = Way(grown, max(0, last - first - longer), last - first)
                place = add_crew(b, task, (way,), leave)
            taken = [
                (one.use, one.places)
                for n, need in enumerate(needs)
                for one in take(
                    b, batch, n, wanted_by_duty(b, need), Point(task), Point(task, True)
                )
            ]
            for held in duty.held:
                kind, (unit, *_) = b.kinds.of(held.equipment)
                state = b.ovens.states[kind.id].index((held.mode, held.celsius))
                option = Option(b.unit[unit.id], state)
                b.add_use(batch, (option,), 0, Point(task), Point(task, True))
            for shelves in duty.stores:
                b.add_use(
                    batch, (Option(b.store[shelves.store]),), shelves.shelves, Point(task),
                    Point(task, True),
                )
            b.duties.append(DutyRecord(name, duty.id, task, place, tuple(taken)))

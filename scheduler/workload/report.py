"""What the week's work comes to before any planning: made, for whom, left over, and hands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE
from scheduler.workload.amounts import written
from scheduler.workload.asked import hands_asked
from scheduler.workload.buying import last_orders
from scheduler.workload.latest import latest_starts
from scheduler.workload.report_things import (
    Delivered,
    Given,
    Part,
    delivered,
    given_by,
    parts_of,
)

if TYPE_CHECKING:
    from datetime import date

    from scheduler.domain.quantity import Quantity
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.compiled import Compiled, TaskRecord, VisitRecord
    from scheduler.workload.latest import Latest
    from scheduler.workload.model import Workload


@dataclass(frozen=True, slots=True)
class Served:
    """A course of an event: portions, and of those apart."""

    event: str
    dish: str
    service: int
    portions: int
    diets: tuple[tuple[str, int], ...]
    crew: int
    waves: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Batched:
    """One batch: what is weighed up, its loads step by step, and where it goes.

    Attributes
    ----------
    loads : tuple of (step, count)
        Steps made in more than one load.
    begin_by : int
        Latest start by windows, minutes; of what cannot be made, by walking
        back from service, so that it may lie before planning begins.
    order_by : int or None
        It may be bought in instead: the last moment to order it, minutes.
    """

    id: str
    quantity: Quantity
    loads: tuple[tuple[str, int], ...]
    parts: tuple[Part, ...]
    leftover: Quantity | None
    in_progress: bool
    begin_by: int
    order_by: int | None = None
    gives: tuple[Given, ...] = ()


@dataclass(frozen=True, slots=True)
class Made:
    """A component: all its batches."""

    component: str
    section: str
    total: Quantity
    batches: tuple[Batched, ...]


@dataclass(frozen=True, slots=True)
class Lot:
    """Something on hand: what is used of it, by whom, and what nobody takes."""

    id: str
    component: str
    used: Quantity
    spare: Quantity
    parts: tuple[Part, ...]
    until: int


@dataclass(frozen=True, slots=True)
class Hands:
    """Pairs of hands of one section on one day, every job at its latest start by windows.

    What certainly cannot be made asks for nobody.

    Attributes
    ----------
    needed, there : int
        At the moment at which most are lacking (or most are needed).
    at : int
        That moment, minutes.
    minutes : int
        Person-minutes of the day.
    """

    section: str
    day: date
    needed: int
    there: int
    at: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Work:
    """Everything `backtime work` shows."""

    served: tuple[Served, ...]
    made: tuple[Made, ...]
    lots: tuple[Lot, ...]
    delivered: tuple[Delivered, ...]
    hands: tuple[Hands, ...]


def report(scenario: Scenario, workload: Workload, compiled: Compiled) -> Work:
    """What is made, for whom, what is left over, and pairs of hands needed against on duty."""
    latest = latest_starts(scenario, workload, compiled)
    return Work(
        tuple(_served(scenario, workload)), tuple(_made(scenario, workload, compiled, latest)),
        tuple(_lots(scenario, workload)), delivered(scenario, workload, compiled),
        tuple(_hands(scenario, workload, compiled, latest)),
    )


def _served(scenario: Scenario, workload: Workload) -> list[Served]:
    found: list[Served] = []
    for event in scenario.week.events:
        for place, course in enumerate(event.menu):
            mine = [b for b in workload.batches if (b.event, b.course) == (event.id, place)]
            if not mine:
                continue
            found.append(
                Served(
                    event.id, course.dish, min(b.service or 0 for b in mine),
                    sum(b.quantity for b in mine),
                    tuple((b.diet, b.quantity) for b in mine if b.diet is not None), course.crew,
                    tuple(b.quantity for b in mine if b.wave is not None),
                )
            )
    return found


def _made(
    scenario: Scenario, workload: Workload, compiled: Compiled, latest: Latest
) -> list[Made]:
    found: list[Made] = []
    begins = {
        b.id: latest.start[compiled.problem.batches[compiled.batch[b.id]].tasks[0]]
        for b in workload.batches
    }
    orders = last_orders(scenario, workload, compiled, latest)
    for component in scenario.components:
        mine = [b for b in workload.batches if b.component == component.id]
        if not mine:
            continue
        batches = tuple(
            Batched(
                b.id, written(b.quantity, b.dimension),
                tuple((s.step.id, len(s.loads)) for s in b.stages if len(s.loads) > 1),
                parts_of(scenario, workload, b.id),
                written(b.leftover, b.dimension) if b.leftover > 0 else None, b.in_progress,
                begins[b.id] * compiled.problem.grid, orders.get(b.id),
                given_by(scenario, workload, b.id),
            )
            for b in mine
        )
        total = written(sum(b.quantity for b in mine), component.makes.dimension)
        found.append(Made(component.id, component.section, total, batches))
    return found


def _lots(scenario: Scenario, workload: Workload) -> list[Lot]:
    lots = {lot.id: lot for lot in scenario.week.on_hand}
    return [
        Lot(
            use.lot, use.component, written(use.used, use.dimension),
            written(use.spare, use.dimension), parts_of(scenario, workload, use.lot),
            scenario.clock.minute(lots[use.lot].made)
            + scenario.component[use.component].keeps[0].at_most,
        )
        for use in workload.lots
    ]


# -- hands -----------------------------------------------------------------------------


def _hands(
    scenario: Scenario, workload: Workload, compiled: Compiled, latest: Latest
) -> list[Hands]:
    """By section and day: the moment at which most hands are lacking, all jobs at their latest."""
    grid = compiled.problem.grid
    batches = workload.batch
    jobs: dict[str, list[tuple[int, int, int]]] = {}
    for record in compiled.tasks:
        if compiled.batch[record.batch] in latest.hopeless:
            continue
        for visit in record.visits:
            lines, section = hands_asked(
                scenario, batches[record.batch], record.step, visit.kind, visit.index
            )
            for start, end in _at_latest(compiled, latest, record, visit):
                for line in lines:
                    people = _quickest(compiled, visit) if line.up_to else line.people
                    jobs.setdefault(line.section or section, []).append((start, end, people))
    there = {s: _there(scenario, compiled, s) for s in jobs}
    found: list[Hands] = []
    for section in [*(s.id for s in scenario.kitchen.sections), ANYONE]:
        days: dict[date, list[tuple[int, int, int]]] = {}
        for job in jobs.get(section, ()):
            days.setdefault(scenario.clock.local(job[0] * grid).date(), []).append(job)
        for day, mine in sorted(days.items()):
            needed, at = _peak(mine, there[section])
            minutes = sum((end - start) * people for start, end, people in mine) * grid
            found.append(Hands(section, day, needed, there[section][at], at * grid, minutes))
    return found


def _quickest(compiled: Compiled, visit: VisitRecord) -> int:
    """So many people share a job where it is shortest."""
    ways = compiled.problem.crews[visit.item].ways
    quickest = min(ways, key=lambda way: way.least)
    return sum(line.count for line in quickest.lines)


def _at_latest(
    compiled: Compiled, latest: Latest, record: TaskRecord, visit: VisitRecord
) -> list[tuple[int, int]]:
    """When a visit would be if its task began as late as its windows let it, ticks."""
    problem = compiled.problem
    start = latest.start[visit.task]
    task = problem.tasks[visit.task]
    if visit.kind == "add":
        add = problem.adds[visit.item]
        return [(start + add.least, start + add.least + add.length)]
    if visit.kind != "tend":
        return [(start, start + task.least)]
    tend, end = problem.tends[visit.item], start + task.least
    if tend.gap is None:
        return [(a, a + tend.length) for a, b in tend.windows if start <= a and b <= end]
    found: list[tuple[int, int]] = []
    at = start - tend.since + tend.gap[1]
    while at + tend.length <= end:
        if at >= start:
            found.append((at, at + tend.length))
        at += tend.length + tend.gap[1]
    return found


def _there(scenario: Scenario, compiled: Compiled, section: str) -> list[int]:
    """People of a section who are there at each tick, less those its standing duties take."""
    problem = compiled.problem
    steps = [0] * (problem.horizon + 2)
    for person, (_, spans) in zip(scenario.kitchen.people, problem.people, strict=True):
        if section == ANYONE or section in person.sections:
            for start, end in spans:
                steps[start] += 1
                steps[end] -= 1
    duties = {d.id: d for d in scenario.kitchen.duties}
    for record in compiled.duties:
        duty, task = duties[record.duty], problem.tasks[record.task]
        if duty.section is not None and section in (duty.section, ANYONE):
            steps[task.earliest] -= duty.people
            steps[task.latest] += duty.people
    there, found = 0, []
    for step in steps:
        there += step
        found.append(max(0, there))
    return found


def _peak(jobs: list[tuple[int, int, int]], there: list[int]) -> tuple[int, int]:
    """Hands needed at the moment at which most are lacking, and that moment."""
    best = (0, 0, 0)
    for at in sorted({start for start, _, _ in jobs}):
        needed = sum(people for start, end, people in jobs if start <= at < end)
        at = min(max(at, 0), len(there) - 1)
        if (needed - there[at], needed) > best[:2] or best[1] == 0:
            best = (needed - there[at], needed, at)
    return best[1], best[2]

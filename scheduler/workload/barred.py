"""People under age are given nothing that their jurisdiction bars them from.

Who may stand in a line does not change with time, and age does: in the week
of a birthday a job is theirs only if it lies after that whatever the plan
(its window begins then), and must then lie there. Otherwise it is given to
others; an hour of caution too many costs little.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from scheduler.domain.hazards import bars, comes_of_age, hazards, met_in, met_on
from scheduler.domain.recipes import Dish
from scheduler.domain.washing import wash_step
from scheduler.workload.windows import windows
from scheduler.workload.wishes import without_person

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from scheduler.domain.base import Slug
    from scheduler.domain.recipes import Visit
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.builder import Builder
    from scheduler.workload.compiled import TaskRecord, VisitRecord


def until(scenario: Scenario, met: Collection[Slug], now: int) -> dict[int, int]:
    """Who is barred from some hazards, by index, and to which minute; nobody who is of age now."""
    if not met:
        return {}
    barred, years = bars(scenario.kitchen)
    if not any(set(one.hazards) & set(met) for one in barred):
        return {}
    found = {}
    for p, person in enumerate(scenario.kitchen.people):
        day = comes_of_age(person, years)
        if day is not None:
            at = scenario.clock.minute(datetime(day.year, day.month, day.day))
            if at > now:
                found[p] = at
    return found


def named_bars(scenario: Scenario, met: Collection[Slug]) -> str:
    """Hazards that keep somebody of this brigade from a job, in words."""
    young = until(scenario, met, scenario.clock.minute(scenario.week.plan_from))
    barred = {h for one in bars(scenario.kitchen)[0] for h in one.hazards}
    return " and ".join(hazards()[h].name for h in sorted(barred & set(met))) if young else ""


def grown_up(b: Builder, people: Sequence[int], met: Collection[Slug], at: int) -> tuple[int, ...]:
    """Those who are not barred from some hazards at that minute."""
    young = until(b.scenario, met, at)
    return tuple(p for p in people if p not in young)


def add_bars(b: Builder) -> None:
    """Every job with a hazard that somebody is barred from, clean-downs and washing too."""
    now = b.calendar.now_minute
    barred = {hazard for one in bars(b.scenario.kitchen)[0] for hazard in one.hazards}
    if not until(b.scenario, barred, now):
        return
    for record in b.records:
        for visit in record.visits:
            young = until(b.scenario, _met(b, record, visit), now)
            if young:
                _kept_from(b, visit, young)
    for n, resource in enumerate(b.resources):
        if resource.clean is None:
            continue
        kind = b.scenario.equipment[b.holders[n].kind or ""]
        lines = resource.clean.lines
        for p in until(b.scenario, kind.hazards, now):
            lines = without_person(lines, p)
        b.resources[n] = replace(resource, clean=replace(resource.clean, lines=lines))


def _kept_from(b: Builder, visit: VisitRecord, young: dict[int, int]) -> None:
    """Nobody of them makes a visit, but whoever is of age in all its window."""
    for p, at in young.items():
        ahead = b.up(at)
        if ahead < b.calendar.horizon and _window(b, visit.task) >= ahead:
            task = b.tasks[visit.task]
            b.tasks[visit.task] = replace(task, earliest=max(task.earliest, ahead))
        elif visit.kind == "tend":
            tend = b.tends[visit.item]
            b.tends[visit.item] = replace(tend, lines=without_person(tend.lines, p))
        elif visit.kind == "add":
            add = b.adds[visit.item]
            b.adds[visit.item] = replace(add, lines=without_person(add.lines, p))
        else:
            crew = b.crews[visit.item]
            left = [replace(w, lines=without_person(w.lines, p)) for w in crew.ways]
            able = [w for w in left if all(len(x.people) >= x.count for x in w.lines)]
            # Where nobody is left it finds no place, and that is what is said.
            b.crews[visit.item] = replace(crew, ways=tuple(able or left[:1]))


def _window(b: Builder, task: int) -> int:
    """The earliest start of a task, ticks; worked out only where somebody comes of age."""
    if b.windows is None:
        b.windows = windows(b.problem()).earliest
    return b.windows[task]


def _met(b: Builder, record: TaskRecord, visit: VisitRecord) -> frozenset[Slug]:
    """Hazards of a visit: of its step, its equipment and what it takes besides."""
    batch = b.built[record.batch].batch
    maker = b.maker(batch)
    step = next((s for s in maker.steps if s.id == record.step), None) or wash_step(
        b.scenario, record.step
    )
    if step is None:
        return met_on(b.scenario, maker.plating.on if isinstance(maker, Dish) else ())
    words: dict[str, Visit | None] = {"load": step.load, "unload": step.unload}
    if visit.kind == "tend":
        words["tend"] = step.tend[0]
    elif visit.kind == "add":
        words["add"] = step.add[visit.index]
    return met_in(b.scenario, step, words.get(visit.kind))

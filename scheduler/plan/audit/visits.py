"""Visits: those the recipe says, inside their step, as long and as often as written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.audit.amounts import length
from scheduler.plan.audit.brigade import able
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.pace import at_pace, pace
from scheduler.plan.audit.steps import started
from scheduler.plan.audit.taking import written

if TYPE_CHECKING:
    from scheduler.domain.recipes import Tend
    from scheduler.plan.audit.brigade import Brigade
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.audit.stretches import Stretch
    from scheduler.plan.model import PlannedTask, PlannedVisit


def check(facts: Facts, brigade: Brigade) -> None:
    """Rules `visits`, `visit-length`, `visits-apart`, `tending`, `day-parts` and `adding`."""
    for making in facts.makings.values():
        for stage in (*making.to_come, *making.washing):
            for task in making.of(stage):
                _ends(facts, making, stage, task)
                _inside(facts, making, stage, task)
                _tending(facts, brigade, making, stage, task)
                _adding(facts, making, stage, task)


def _of(task: PlannedTask, kind: str) -> list[PlannedVisit]:
    found = [v for v in task.visits if v.kind == kind]
    return sorted(found, key=lambda v: (v.start, v.end))


def _ends(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> None:
    """Hands all the way, loading and unloading lie where the task says."""
    step = stage.step
    running = making.running(stage)
    if task.stopped is not None and task.resumed is not None:
        _broken_off(facts, stage, task, task.stopped, task.resumed)
    asked = {
        "hands": (
            bool(stage.hands) and task.resumed is None, task.law_start, task.law_end
        ),
        "load": (bool(step and step.load and not running), task.start, task.law_start),
        "unload": (bool(step and step.unload), task.law_end, task.end),
    }
    for kind, (wanted, start, end) in asked.items():
        found = _of(task, kind) if kind != "hands" or task.resumed is None else []
        if len(found) != wanted:
            facts.broken(
                "visits", task.id, f"has {len(found)} visits to {kind}, needs {int(wanted)}"
            )
        for visit in found:
            begins = {start, max(start, facts.now)} if running else {start}
            if visit.start not in begins or visit.end != end:
                facts.broken(
                    "visits",
                    task.id,
                    f"{kind} is {facts.span(visit.start, visit.end)}, by the task "
                    f"{facts.span(start, end)}",
                )
        if kind != "hands" and not wanted and start != end:
            facts.broken(
                "visits", task.id, f"nothing is written that takes {facts.span(start, end)}"
            )


def _broken_off(
    facts: Facts, stage: Stage, task: PlannedTask, stopped: int, resumed: int
) -> None:
    """Hands are at it until it is broken off, and again from when it goes on."""
    asked = [(task.law_start, stopped), (resumed, task.law_end)] if stage.hands else []
    found = [(v.start, v.end) for v in _of(task, "hands")]
    if found != asked:
        facts.broken("visits", task.id, "hands are not at it before and after it was broken off")


def _inside(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> None:
    last = None
    for visit in sorted(task.visits, key=lambda v: (v.start, v.end)):
        word = written(stage, visit)
        lasts = visit.end - visit.start
        if lasts < 0:
            facts.broken("visits", task.id, f"{visit.kind} ends before it starts")
        if word is not None:
            law = length(word.time, task.quantity, making.component)
            if visit.kind in ("load", "unload"):
                quick = pace(facts.scenario, word.hands, stage.section, visit.people)
                law = at_pace(law, word.time, quick)
            if not law.least <= lasts <= law.longest(facts.grid):
                facts.broken(
                    "visit-length",
                    task.id,
                    f"{visit.kind} {facts.at(visit.start)} takes {lasting(lasts)}, written: "
                    f"{lasting(law.least)} to {lasting(law.longest(facts.grid))}",
                )
        if visit.kind not in ("tend", "add"):
            continue
        if word is None:
            facts.broken("visits", task.id, f"{visit.kind} {visit.index + 1} is in no recipe")
        if visit.start < task.law_start or visit.end > task.law_end:
            facts.broken(
                "visits",
                task.id,
                f"{visit.kind} {facts.at(visit.start)} lies outside the step, "
                f"{facts.span(task.law_start, task.law_end)}",
            )
        elif making.running(stage) and visit.start < facts.now:
            facts.broken("now", task.id, f"{visit.kind} {facts.at(visit.start)} is in the past")
        if last is not None and visit.start < last.end and visit.start < visit.end:
            facts.broken(
                "visits-apart",
                task.id,
                f"{last.kind} and {visit.kind} overlap {facts.at(visit.start)}",
            )
        last = visit if last is None or visit.end > last.end else last


def _tending(
    facts: Facts, brigade: Brigade, making: Making, stage: Stage, task: PlannedTask
) -> None:
    tend = stage.step.tend[0] if stage.step and stage.step.tend else None
    if tend is None:
        return
    visits = _of(task, "tend")
    if tend.every is None:
        _by_parts(facts, brigade, making, stage, task, tend, visits)
        return
    low, high = tend.every - tend.give_or_take, tend.every + tend.give_or_take
    at, since = task.law_start, "loading"
    if task.resumed is not None:
        visits = [v for v in visits if v.start >= (task.resumed or 0)]
        at, since = task.resumed, "it went on"
    if making.running(stage):
        begun = making.begun
        at = started(facts, making)
        if begun is not None and begun.last_visit is not None:
            at = facts.scenario.clock.minute(begun.last_visit)
    for visit in visits:
        gap = visit.start - at
        if not low <= gap <= high:
            facts.broken(
                "tending",
                task.id,
                f"{facts.at(visit.start)} is {lasting(gap)} after {since}; every "
                f"{lasting(tend.every)} give or take {lasting(tend.give_or_take)}",
            )
        at, since = visit.end, f"the visit at {facts.at(visit.start)}"
    if task.law_end - at > high:
        facts.broken(
            "tending",
            task.id,
            f"nobody comes for {lasting(task.law_end - at)} after {since}, at most {lasting(high)}",
        )


def _by_parts(
    facts: Facts,
    brigade: Brigade,
    making: Making,
    stage: Stage,
    task: PlannedTask,
    tend: Tend,
    visits: list[PlannedVisit],
) -> None:
    """One visit in each part that lies wholly inside the step; none outside such parts.

    What was begun before the week may have been visited in a part that had
    begun by then, so that part may have a visit and need not.
    """
    least = length(tend.time, task.quantity, making.component).least
    left = list(visits)
    for name, start, end in parts(facts, task, tend):
        mine = [v for v in left if start <= v.start and v.end <= end]
        left = [v for v in left if v not in mine]
        begins = task.law_start if task.resumed is None else task.resumed
        whole = begins <= start and end <= task.law_end and start >= facts.now
        due = whole
        if whole and tend.once_a_shift:
            due = on_duty(facts, brigade, stage, tend, (start, end), least)
        if len(mine) > 1 or (due and not mine):
            facts.broken(
                "day-parts",
                task.id,
                f"has {len(mine)} visits in the {name}, {facts.span(start, end)}; one is due",
            )
    for visit in left:
        facts.broken(
            "day-parts", task.id, f"the visit {facts.at(visit.start)} is in no part of the day"
        )


def parts(facts: Facts, task: PlannedTask, tend: Tend) -> list[tuple[str, int, int]]:
    """Parts of the day that a step meets, in order of time: name, start, end."""
    clock = facts.scenario.clock
    found = []
    for part in facts.scenario.kitchen.day_parts:
        if not tend.once_a_shift and part.id not in tend.day_parts:
            continue
        for day in clock.days(margin=2):
            start, end = clock.span(day, part.hours)
            if start < task.law_end and end > task.law_start:
                found.append((part.id, start, end))
    return sorted(found, key=lambda p: (p[1], p[2]))


def on_duty(
    facts: Facts, brigade: Brigade, stage: Stage, tend: Tend, part: Stretch, least: int
) -> bool:
    """Is somebody who may do it there for as long as a visit, within a part of the day?"""
    for line in tend.hands:
        for person in facts.scenario.kitchen.people:
            named = not line.only or person.id in line.only
            if named and able(person, line, stage.section) and any(
                min(end, part[1]) - max(start, part[0], facts.now) >= least
                for start, end in brigade.free(person.id)
            ):
                break
        else:
            return False
    return True


def _adding(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> None:
    if stage.step is None:
        return
    running = making.running(stage)
    began = started(facts, making) if running else task.law_start
    visits = _of(task, "add")
    for i, add in enumerate(stage.step.add):
        mine = [v for v in visits if v.index == i]
        early, late = began + add.after - add.give_or_take, began + add.after + add.give_or_take
        done = (running and early < facts.now) or task.resumed is not None
        if len(mine) > 1 or not (mine or done):
            facts.broken(
                "adding", task.id, f"{add.verb or 'add'} ({i + 1}) is there {len(mine)} times"
            )
        for visit in mine:
            if not early <= visit.start <= late:
                facts.broken(
                    "adding",
                    task.id,
                    f"{add.verb or 'add'} {facts.at(visit.start)}, due "
                    f"{facts.at(began + add.after)} give or take {lasting(add.give_or_take)}",
                )

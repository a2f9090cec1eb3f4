"""Steps in time: all there, on the grid, inside the week, and as long as written."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

from scheduler.plan.audit.amounts import Length, length, up
from scheduler.plan.audit.document import task_id
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.leaving import drawn_out
from scheduler.plan.audit.pace import at_pace, pace

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask


def check(facts: Facts) -> None:
    """Rules `steps`, `load-order`, `grid`, `now`, `inside-the-week`, `law`, `it-decides`."""
    for task in facts.plan.tasks:
        _in_order(facts, task)
    for making in facts.makings.values():
        if making.id not in facts.placed:
            continue
        for stage in making.with_washing:
            _there(facts, making, stage)
            for task in making.of(stage):
                if making.running(stage):
                    _running(facts, making, task)
                elif task.start < facts.now:
                    facts.broken(
                        "now",
                        task.id,
                        f"starts {facts.at(task.start)}, planning begins {facts.at(facts.now)}",
                    )
                _law(facts, making, stage, task)


def _in_order(facts: Facts, task: PlannedTask) -> None:
    times = [task.start, task.law_start, task.law_end, task.end]
    if (task.stopped is None) != (task.resumed is None):
        facts.broken("past", task.id, "is broken off and does not go on, or the other way round")
    if task.stopped is not None and task.resumed is not None:
        times[2:2] = [task.stopped, task.resumed]
        if task.id not in facts.done:
            facts.broken("past", task.id, "is broken off, and nobody has said so")
    if sorted(times) != times:
        facts.broken("steps", task.id, "its times are out of order")
    making = facts.makings.get(task.batch)
    stage = making.stage(task.step) if making else None
    if making and stage and making.running(stage):
        times = times[2:]
    times += [t for v in task.visits for t in (v.start, v.end)]
    off = sorted({t for t in times if t % facts.grid})
    if off:
        facts.broken(
            "grid",
            task.id,
            f"{', '.join(facts.at(t) for t in off[:3])}: not on the grid of {facts.grid} min",
        )
    if task.end > facts.horizon or (task.start < 0 and not (making and making.begun)):
        facts.broken(
            "inside-the-week",
            task.id,
            f"runs {facts.span(task.start, task.end)}, the week {facts.span(0, facts.horizon)}",
        )


def _there(facts: Facts, making: Making, stage: Stage) -> None:
    tasks = making.of(stage)
    where = f"{making.id}/{stage.id}"
    if stage.index < making.first:
        if tasks:
            facts.broken("steps", where, "was done before the week opened, yet is planned")
        return
    if not tasks:
        facts.broken("steps", where, f"is not planned, though other steps of {making.id} are")
        return
    loads = sorted(t.load for t in tasks)
    if loads != list(range(1, len(loads) + 1)):
        facts.broken("steps", where, f"has loads {', '.join(map(str, loads))}")
    for task in tasks:
        called = task_id(making.id, stage.id, task.load, task.loads)
        if task.id != called:
            facts.broken("steps", task.id, f"should be called {called}")
    for one, other in pairwise(tasks):
        if one.load < other.load and other.start < one.start:
            facts.broken(
                "load-order",
                other.id,
                f"starts {facts.at(other.start)}, before load {one.load} at {facts.at(one.start)}",
            )


def started(facts: Facts, making: Making) -> int:
    """The minute the running step of a begun batch began, by the week."""
    begun = making.begun
    return facts.scenario.clock.minute(begun.started) if begun else 0


def _running(facts: Facts, making: Making, task: PlannedTask) -> None:
    began = started(facts, making)
    allowed = max(0, began)
    near = abs(task.law_start - allowed) < facts.grid or task.law_start == began
    if not near or task.start != task.law_start:
        facts.broken(
            "begun",
            task.id,
            f"began {facts.at(began)} by the week; the plan says {facts.at(task.law_start)}",
        )


def law_of(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> Length:
    """How long a task may take: its law for its own quantity, by those who are at it.

    Plating takes ceil(60 x portions / per_hour) minutes.
    """
    if stage.step is not None:
        law = length(stage.step.time, task.quantity, making.component)
        if not stage.hands or decided_by_itself(stage):
            return law
        return at_pace(law, stage.step.time, _pace(facts, making, stage, task))
    per_hour = making.dish.plating.per_hour if making.dish else 1
    minutes = max(0, ceil(60 * task.quantity.base / per_hour))
    return Length(minutes, minutes, None)


def _pace(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> Fraction:
    """Of those who are at it; who was at what runs already is not known, so cooks were."""
    if making.running(stage):
        return Fraction(stage.hands[0].people if stage.hands[0].up_to else 1)
    there = next((v.people for v in task.visits if v.kind == "hands"), ())
    return pace(facts.scenario, stage.hands, stage.section, there)


def _law(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> None:
    law, grid = law_of(facts, making, stage, task), facts.grid
    began = started(facts, making) if making.running(stage) else task.law_start
    planned = lasts(facts, task, began)
    longest, shortest = law.longest(grid), law.least
    if making.running(stage) and law.most is None:
        # Begun off the grid, it ends at the next point after its time.
        longest = up(began + law.least, grid) - began
    if decided_by_itself(stage):
        aside = law.set_aside(grid)
        right = planned == aside
        if making.running(stage):
            # What began off the grid may be rounded to it once more.
            right = (law.most or law.least) <= planned < aside + 2 * grid
        if not right:
            facts.broken(
                "it-decides",
                task.id,
                f"{lasting(planned)} are set aside, it may take {lasting(aside)}",
            )
    elif planned < shortest:
        facts.broken("law", task.id, f"takes {lasting(planned)}, at least {lasting(shortest)}",
                     shortest - planned)  # fmt: skip
    elif planned > longest + drawn_out(
        facts.scenario, stage.leave, sum(h.up_to or h.people for h in stage.hands)
    ):
        facts.broken("law", task.id, f"takes {lasting(planned)}, at most {lasting(longest)}",
                     planned - longest)  # fmt: skip


def decided_by_itself(stage: Stage) -> bool:
    """Does the food decide how long it takes?"""
    return stage.step is not None and stage.step.time.decides.value == "it"


def head_start(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> int:
    """Minutes before its planned end at which a step the food decides may be done.

    Clocks of what follows run from there: from the shortest, not the longest.
    """
    if not decided_by_itself(stage):
        return 0
    began = started(facts, making) if making.running(stage) else task.law_start
    return max(0, lasts(facts, task, began) - law_of(facts, making, stage, task).least)


def lasts(facts: Facts, task: PlannedTask, began: int) -> int:
    """How much of its time a step gets: of one broken off what counts of it, and what follows."""
    if task.resumed is None:
        return task.law_end - began
    return facts.done.get(task.id, 0) + task.law_end - task.resumed

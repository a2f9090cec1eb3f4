"""A plan with one change by hand: moved, given to somebody else, put on another machine.

What hangs on the task goes with it (`settling`), nothing else moves, and whether it works is
for the audit to say (`answering`).
"""

from __future__ import annotations

from difflib import get_close_matches

from scheduler.domain.base import Slug
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit.amounts import Length, length, up
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.leaving import drawn_out
from scheduler.plan.audit.making import Making, Stage
from scheduler.plan.audit.pace import at_pace, pace
from scheduler.plan.audit.steps import decided_by_itself, law_of
from scheduler.plan.audit.taking import written
from scheduler.plan.model import Plan, PlannedTask, PlannedVisit
from scheduler.plan.settling import settled
from scheduler.plan.words import Names


class NotByHand(ValueError):
    """Something that nobody can change in a plan; its message is for people."""


def moved(scenario: Scenario, plan: Plan, task_id: str, start_minute: int) -> Plan:
    """The plan with one task at another time.

    Parameters
    ----------
    task_id : str
    start_minute : int
        When it is to start: on the grid, from planning on.

    Raises
    ------
    NotByHand
        There is no such task, it is bought in, or begun before planning begins; or it would
        start in the past, outside the week or off the grid.
    """
    facts, names = Facts(scenario, plan), Names(scenario, plan)
    task = _task(facts, names, task_id)
    what = f"{names.batch(task.batch)}, {names.step(task.batch, task.step)}"
    if start_minute == task.start:
        return plan
    if start_minute % facts.grid:
        low = start_minute // facts.grid * facts.grid
        near = f"{names.clock(low)} or {names.clock(low + facts.grid)}"
        raise NotByHand(
            f"{what}: {names.clock(start_minute)} is not on the kitchen's grid of {facts.grid} "
            f"min; maybe {near}."
        )
    if start_minute < facts.now:
        raise NotByHand(
            f"{what} cannot start {names.moment(start_minute)}: planning begins "
            f"{names.moment(facts.now)}."
        )
    if start_minute + task.end - task.start > facts.horizon:
        raise NotByHand(
            f"{what} cannot start {names.moment(start_minute)}: it would not be over when the "
            f"week ends, {names.moment(facts.horizon)}."
        )
    return settled(scenario, plan, task, _shifted(task, start_minute - task.start))


def given_to(
    scenario: Scenario,
    plan: Plan,
    task_id: str,
    visit: tuple[str, int],
    people: tuple[Slug, ...],
) -> Plan:
    """The plan with one visit in other hands.

    Where they work at another pace (another number of them, a trainee alone) hands, loading
    and unloading become as long as they must, and what comes after within the task goes with
    them.

    Parameters
    ----------
    visit : (str, int)
        Its kind and its index, as in the plan.
    people : tuple of str
        Who does it, in the order of the recipe's lines.

    Raises
    ------
    NotByHand
        There is no such task, visit or person, nobody is named, or it is over or under way.
    """
    facts, names = Facts(scenario, plan), Names(scenario, plan)
    task = _task(facts, names, task_id, begun=True)
    place = f"{names.batch(task.batch)}, {names.step(task.batch, task.step)}"
    planned = next((v for v in task.visits if (v.kind, v.index) == visit), None)
    if planned is None:
        kinds = ", ".join(f"{v.kind} {v.index}" for v in task.visits) or "none"
        raise NotByHand(f"{place} has no visit '{visit[0]} {visit[1]}'; it has {kinds}.")
    if planned.start < facts.now:
        raise NotByHand(f"{place}, {names.moment(planned.start)}: it is under way or over.")
    if not people:
        raise NotByHand(f"{place}: nobody is named who does it.")
    for name in people:
        if name not in scenario.person:
            raise NotByHand(f"{place}: there is no '{name}' in this kitchen"
                            f"{_maybe(name, list(scenario.person))}.")  # fmt: skip
    if tuple(people) == planned.people:
        return plan
    given = planned.model_copy(update={"people": tuple(people)})
    visits = tuple(given if v is planned else v for v in task.visits)
    new = task.model_copy(update={"visits": visits})
    making = facts.makings.get(task.batch)
    stage = making.stage(task.step) if making else None
    if making is not None and stage is not None:
        new = _paced(facts, making, stage, new, given)
    return settled(scenario, plan, task, new)


def put_on(scenario: Scenario, plan: Plan, task_id: str, need: int, unit: Slug) -> Plan:
    """The plan with one need of a task on another unit; an oven's setting goes with it.

    Parameters
    ----------
    need : int
        Place of the need in the step's list, from 0.
    unit : str

    Raises
    ------
    NotByHand
        There is no such task, need or unit, the need is spread over several units, or the
        task has begun or is bought in.
    """
    facts, names = Facts(scenario, plan), Names(scenario, plan)
    task = _task(facts, names, task_id)
    place = f"{names.batch(task.batch)}, {names.step(task.batch, task.step)}"
    taken = [t for t in task.taken if t.need == need and t.unit is not None]
    if not taken:
        raise NotByHand(f"{place} is on no unit for its need {need}.")
    if len(taken) > 1:
        units = ", ".join(names.unit(t.unit or "") for t in taken)
        raise NotByHand(f"{place} is spread over {units}; it cannot be put on one.")
    if unit not in scenario.unit:
        raise NotByHand(f"{place}: there is no unit '{unit}' in this kitchen"
                        f"{_maybe(unit, list(scenario.unit))}.")  # fmt: skip
    if taken[0].unit == unit:
        return plan
    there = taken[0].model_copy(update={"unit": unit})
    uses = tuple(there if t is taken[0] else t for t in task.taken)
    return settled(scenario, plan, task, task.model_copy(update={"taken": uses}))


def _task(facts: Facts, names: Names, task_id: str, *, begun: bool = False) -> PlannedTask:
    """The task, if it may be changed by hand; `begun`: also when it is under way."""
    task = facts.tasks.get(task_id)
    if task is None:
        maybe = _maybe(task_id, list(facts.tasks))
        raise NotByHand(f"There is no '{task_id}' in this plan{maybe}.")
    what = f"{names.batch(task.batch)}, {names.step(task.batch, task.step)}"
    batch, making = facts.batches.get(task.batch), facts.makings.get(task.batch)
    if batch is not None and batch.bought is not None:
        raise NotByHand(
            f"{what} is bought in: it comes when the supplier delivers, "
            f"{names.moment(task.start)} to {names.clock(task.end)}."
        )
    stage = making.stage(task.step) if making else None
    running = making is not None and stage is not None and making.running(stage)
    if begun and task.end > facts.now:
        return task
    if task.end <= facts.now:
        raise NotByHand(f"{what} is over: it ended {names.moment(task.end)}.")
    if running or task.start < facts.now:
        raise NotByHand(f"{what} is in progress when planning begins: it cannot be changed.")
    return task


def _maybe(name: str, known: list[str]) -> str:
    near = get_close_matches(name, known, 1)
    return f"; maybe '{near[0]}'" if near else ""


def _shifted(task: PlannedTask, by: int) -> PlannedTask:
    """The task with everything inside it so much later."""
    if not by:
        return task
    visits = tuple(_later(v, by, by) for v in task.visits)
    taken = tuple(
        t.model_copy(update={"start": t.start + by, "end": t.end + by}) for t in task.taken
    )
    times = {n: getattr(task, n) + by for n in ("start", "law_start", "law_end", "end")}
    return task.model_copy(update=times | {"visits": visits, "taken": taken})


def _later(visit: PlannedVisit, start: int, end: int) -> PlannedVisit:
    """A visit with its start and end so much later, and what it takes with it."""
    times = {"start": visit.start + start, "end": visit.end + end}
    taken = tuple(t.model_copy(update=times) for t in visit.taken)
    return visit.model_copy(update=times | {"taken": taken})


def _paced(
    facts: Facts, making: Making, stage: Stage, task: PlannedTask, visit: PlannedVisit
) -> PlannedTask:
    """The task with hands, loading or unloading as long as those people need at least."""
    spare = 0
    if visit.kind == "hands":
        if decided_by_itself(stage):
            return task
        law = law_of(facts, making, stage, task)
        spare = drawn_out(facts.scenario, stage.leave, len(visit.people))
    elif visit.kind in ("load", "unload"):
        word = written(stage, visit)
        if word is None:
            return task
        quick = pace(facts.scenario, word.hands, stage.section, visit.people)
        law = at_pace(length(word.time, task.quantity, making.component), word.time, quick)
    else:
        return task
    by = _length(law, visit.end - visit.start, facts.grid, spare) - (visit.end - visit.start)
    if not by:
        return task
    at = visit.end
    visits = tuple(
        _later(v, 0, by) if v is visit else _later(v, by, by) if v.start >= at else v
        for v in task.visits
    )
    names = {"load": ("law_start", "law_end", "end"), "hands": ("law_end", "end"),
             "unload": ("end",)}[visit.kind]  # fmt: skip
    times = {n: getattr(task, n) + by for n in names}
    return task.model_copy(update=times | {"visits": visits})


def _length(law: Length, planned: int, grid: int, spare: int) -> int:
    """As planned where that is long enough and not too long; otherwise what comes nearest."""
    if planned < law.least:
        return up(law.least, grid)
    return min(planned, law.longest(grid) + spare)

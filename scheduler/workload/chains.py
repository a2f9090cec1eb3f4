"""The steps of a batch one after the other: order of loads, waits, containers."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.workload.builder import first, last
from scheduler.workload.compiled import HoldRecord
from scheduler.workload.places import places, shelves_for, store_options
from scheduler.workload.primitives import Band
from scheduler.workload.steps import add_need, add_needs, add_task_record, law_of

if TYPE_CHECKING:
    from scheduler.domain.recipes import Need, Step, Wait
    from scheduler.workload.builder import Builder, Built
    from scheduler.workload.compiled import TaskRecord
    from scheduler.workload.model import Stage
    from scheduler.workload.primitives import Point

Tasks = list["TaskRecord"]


def add_stages(b: Builder, built: Built) -> None:
    """Every step of a batch as tasks, in an order in which they could be done.

    Loads in order; where a step passes its loads on, load 1 goes through all
    of these steps before load 2 begins.
    """
    stages = built.batch.stages
    at = 0
    made: dict[str, Tasks] = {s.step.id: [] for s in stages}
    while at < len(stages):
        until = at
        while until + 1 < len(stages) and passes_on(stages[until], stages[until + 1]):
            until += 1
        lanes: list[tuple[int, ...]] = []
        for load in range(len(stages[at].loads)):
            records = [add_task_record(b, built, s, load) for s in stages[at : until + 1]]
            for stage, record in zip(stages[at : until + 1], records, strict=True):
                made[stage.step.id].append(record)
            lanes.append(tuple(part for record in records for part in record.parts.values()))
        if len(lanes) > 1:
            b.lanes.setdefault(built.index, []).append(tuple(lanes))
        at = until + 1
    built.stages = [(stage, made[stage.step.id]) for stage in stages]
    for _, tasks in built.stages:
        for one, other in pairwise(tasks):
            b.link(first(one), first(other), 0)


def passes_on(one: Stage, other: Stage) -> bool:
    """Load n of the one goes on to load n of the other."""
    return one.step.waves and len(one.loads) == len(other.loads)


def add_waits(b: Builder, built: Built) -> None:
    """Links, shelves and cost of the wait between every two steps in a row.

    Without waves: last load's end -> first next load's start at least
    `not_before`, every load's end -> last next load's start at most
    `at_most`, cost from the first load's end to the last next load's start.
    With waves each pair has its own. Without a `then` both are 0. Where the
    food decides, at_most is shorter by (planned length - at_least).
    """
    after = built.stages[1:] + ([(None, [built.plating])] if built.plating else [])
    for (one, tasks), (other, following) in zip(built.stages, after, strict=False):
        wait = one.step.then
        if (
            one.step.waves
            and other is not None
            and not one.running
            and 1 < len(one.loads) != len(other.loads)
        ):
            b.complaints.add(
                f"{built.batch.id}, {one.step.id}",
                f"its {len(one.loads)} loads are passed on to {other.step.id}, which is made "
                f"in {len(other.loads)}",
                "the same loads for both",
            )
        pairwise = other is not None and passes_on(one, other)
        least = 0 if wait is None else b.up(wait.not_before)
        if pairwise:
            for task, follower in zip(tasks, following, strict=True):
                b.link(
                    last(task), first(follower), least, _most(b, built, one, task),
                    _band(b, built, wait),
                )
        else:
            add_links(
                b, tasks, following, least,
                [_most(b, built, one, t) for t in tasks], _band(b, built, wait),
            )
        if wait is not None:
            for task, follower, quantity, load in waiting(tasks, following, pairwise):
                _hold(b, built, one.step, wait, task, follower, quantity, load)


def add_links(
    b: Builder,
    tasks: Tasks,
    following: Tasks,
    least: int,
    most: list[int | None],
    band: Band | None,
) -> None:
    """Every load before every next load, said by those that bind.

    Loads start in order, so the earliest next start is the first's and the
    latest the last's; these links imply all others.
    """
    head, tail = first(following[0]), first(following[-1])
    for task, limit in zip(tasks, most, strict=True):
        cost = band if task is tasks[0] else None
        if head == tail:
            b.link(last(task), head, least, limit, cost)
        else:
            b.link(last(task), head, least)
            if limit is not None or cost is not None:
                b.link(last(task), tail, None, limit, cost)


def _most(b: Builder, built: Built, stage: Stage, task: TaskRecord) -> int:
    """The longest wait after one load, ticks."""
    wait = stage.step.then
    if wait is None:
        return 0
    shorter = law_of(b, built, stage.step, task.quantity).waits_less(b.grid)
    most = b.down(wait.at_most - shorter)
    if most < b.up(wait.not_before):
        early = f", counted from its shortest ({shorter} min before)" if shorter else ""
        b.complaints.add(
            f"{built.batch.id}, {stage.step.id}",
            f"the wait after it is at least {wait.not_before} min and at most {wait.at_most} min"
            f"{early}: nothing is left of that on the grid of {b.grid} min",
        )
    return most


def _band(b: Builder, built: Built, wait: Wait | None) -> Band | None:
    component = b.component(built.batch)
    weight = 1 if component is None else component.weight
    return None if wait is None else Band(*wait.best(), weight)


def waiting(
    tasks: Tasks, following: Tasks, pairwise: bool
) -> Iterator[tuple[TaskRecord, TaskRecord, int, int]]:
    """What waits: the task before, the one that ends the wait, how much, which load.

    In waves each pair; one load before several, each of the several; otherwise
    every load until the last of the next step's loads starts.
    """
    if pairwise:
        for task, follower in zip(tasks, following, strict=True):
            yield task, follower, task.quantity, task.load
    elif len(tasks) == 1 and len(following) > 1:
        for follower in following:
            yield tasks[0], follower, follower.quantity, follower.load
    else:
        for task in tasks:
            yield task, following[-1], task.quantity, task.load


def _hold(
    b: Builder,
    built: Built,
    step: Step,
    wait: Wait,
    task: TaskRecord,
    follower: TaskRecord,
    quantity: int,
    load: int,
) -> None:
    """One wait as the plan shows it, with its shelves."""
    batch = built.batch
    use = machine = None
    shelves = 0
    if wait.zone is not None:
        shelves = _shelves(b, built, step, wait, quantity)
        options = store_options(b, wait.zone)
        if options:
            use = b.add_use(
                built.index, options, shelves, last(task), first(follower),
                b.down(b.scenario.kitchen.transfer), b.sorts.batch(batch),
            )
    elif wait.in_machine and task.taken:
        machine = task.taken[0].use
    b.holds.append(
        HoldRecord(
            "wait", batch.id, step.id, load, follower.id, quantity, batch.dimension,
            last(task), first(follower), shelves, use, machine,
        )
    )


def _shelves(b: Builder, built: Built, step: Step, wait: Wait, quantity: int) -> int:
    """Shelves of a wait: those of the containers it stands in, or quantity / per shelf."""
    batch, component = built.batch, b.component(built.batch)
    found = 0
    for need in spanning(b, built, step.id):
        kind, _ = b.kinds.of(need.equipment or "")
        if kind.per_shelf is not None:
            count = places(need.amount, need.per, quantity, batch.dimension, component)
            found += -(-count // kind.per_shelf)
    return found or shelves_for(wait.per_shelf, quantity, batch.dimension, component)


def spanning(b: Builder, built: Built, step: str) -> list[Need]:
    """Containers taken at or before a step and emptied after it."""
    steps = b.maker(built.batch).steps
    at = next(i for i, s in enumerate(steps) if s.id == step) + 1
    later = {s.id for s in steps[at:]}
    return [
        need
        for s in steps[:at]
        for need in s.on
        if need.equipment is not None and need.until in later
    ]


def _standing(b: Builder, built: Built, step: str) -> list[tuple[str, int, Need]]:
    """Containers filled before the step that runs when the week opens, and emptied with it or
    after it: the step that filled each, the need's place there, and the need."""
    steps = b.maker(built.batch).steps
    at = next(i for i, s in enumerate(steps) if s.id == step)
    later = {s.id for s in steps[at:]}
    return [
        (s.id, n, need)
        for s in steps[:at]
        for n, need in enumerate(s.on)
        if need.equipment is not None and need.until in later
    ]


def add_all_needs(b: Builder, built: Built) -> None:
    """Equipment of every task, containers to where they are emptied, machines with their waits."""
    for place, (stage, tasks) in enumerate(built.stages):
        for task in tasks:
            ends: dict[int, Point] = {}
            for n, need in enumerate(stage.step.on):
                washed = built.washed.get((stage.step.id, n))
                if washed:
                    ends[n] = last(washed[min(task.load, len(washed)) - 1])
                elif need.until is not None:
                    ends[n] = _emptied(b, built, place, task, need.until)
                elif stage.step.then is not None and stage.step.then.in_machine:
                    ends[n] = first(_next(built, place, task))
            add_needs(b, built, stage, task, ends)
            if stage.running:
                for n, (step, at, need) in enumerate(_standing(b, built, stage.step.id)):
                    washed = built.washed.get((step, at))
                    end = (
                        last(washed[-1])
                        if washed
                        else _emptied(b, built, place, task, need.until or "")
                    )
                    add_need(b, built, task, len(stage.step.on) + n, need, end, running=True)


def _next(built: Built, place: int, task: TaskRecord) -> TaskRecord:
    """The task whose start ends the wait after one load."""
    if place + 1 < len(built.stages):
        other, following = built.stages[place + 1]
        if passes_on(built.stages[place][0], other):
            return following[task.load - 1]
        return following[-1]
    assert built.plating is not None
    return built.plating


def _emptied(b: Builder, built: Built, place: int, task: TaskRecord, until: str) -> Point:
    """When the containers of one load are empty: load by load in waves, else with the last."""
    to = next((i for i, (s, _) in enumerate(built.stages) if s.step.id == until), place)
    stages = [s for s, _ in built.stages[place : to + 1]]
    tasks = built.stages[to][1]
    if all(passes_on(one, other) for one, other in pairwise(stages)):
        return last(tasks[task.load - 1]) if len(tasks) >= task.load else last(tasks[-1])
    order_ends(b, built, tasks)
    return last(tasks[-1])


def order_ends(b: Builder, built: Built, tasks: Tasks) -> None:
    """Loads of a step are over in their order."""
    if tasks[0].step in built.tied:
        return
    built.tied.add(tasks[0].step)
    for one, other in pairwise(tasks):
        b.link(last(one), last(other), 0)

"""Containers that are free again only when they are washed and dry."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension
from scheduler.domain.recipes import ANYONE
from scheduler.domain.washing import Wash, washes
from scheduler.workload.builder import first, last
from scheduler.workload.compiled import TaskRecord, VisitRecord
from scheduler.workload.hands import add_crew
from scheduler.workload.laws import law
from scheduler.workload.places import places, wanted
from scheduler.workload.primitives import Point
from scheduler.workload.sharing import ways
from scheduler.workload.steps import task_name

if TYPE_CHECKING:
    from scheduler.workload.builder import Builder, Built

    Lanes = tuple[tuple[int, ...], ...]


def add_washes(b: Builder, built: Built) -> None:
    """Every washing of a batch: hands, then drying, after what it washes is empty.

    0 <= start - end of the emptying task <= within. Load by load where the
    containers of each load are emptied for themselves, otherwise once, after
    the last load. A washing after the last of a batch's tasks stands in its
    row; any other is beside the tasks that follow.
    """
    loads = b.lanes.get(built.index, [])[:]
    rounds: list[_Round] = []
    steps = b.maker(built.batch).steps
    running = next((s.step.id for s, _ in built.stages if s.running), None)
    in_a_row = False
    final = b.batches[built.index][1][-1]
    for wash in washes(steps, b.kinds.kind_named, running):
        emptied = built.task(wash.after)
        alone = _load_by_load(built, wash)
        counts = _counts(b, built, wash)
        groups = [[t] for t in emptied] if alone else [emptied]
        done = [
            _washing(b, built, wash, group[-1], n + 1, len(groups), count)
            for n, (group, count) in enumerate(
                zip(groups, counts if alone else [sum(counts)], strict=True)
            )
        ]
        for one, other in pairwise(done):
            b.link(first(one), first(other), 0)
        for step, place, _ in wash.needs:
            built.washed[step, place] = done
        if alone:
            rounds.append(_Round(_sets(b, built, wash), emptied, done))
        ends_it = len(done) == 1 and emptied[-1].parts and not in_a_row
        if ends_it and final in emptied[-1].parts.values():
            in_a_row = True
            continue
        for task in done:
            lane = tuple(task.parts.values())
            b.lanes.setdefault(built.index, []).append((lane, (final,)))
    if rounds:
        b.turns[built.index] = _turns(b, built, loads, rounds)


@dataclass(frozen=True, slots=True)
class _Round:
    """What is washed load by load: there is enough of it for `sets` loads at once."""

    sets: int
    emptied: list[TaskRecord]
    done: list[TaskRecord]


def _sets(b: Builder, built: Built, wash: Wash) -> int:
    """For how many loads at once the kitchen has enough of what is washed."""
    component, dimension = b.component(built.batch), built.batch.dimension
    stages = {s.step.id: s for s, _ in built.stages}
    found: list[int] = []
    for step, _, need in wash.needs:
        wants = wanted(b, need, max(stages[step].loads), dimension, component)
        there = {o.resource for o in wants[0].options} if wants else set()
        fit = sum(b.resources[r].capacity // max(1, wants[0].amount) for r in there)
        found.append(fit // max(1, len(wants)))
    return min(found)


def _turns(
    b: Builder, built: Built, loads: list[Lanes], rounds: list[_Round]
) -> tuple[tuple[int, ...], ...]:
    """Orders in which the loads take turns with their washing.

    With enough for `sets` loads at once load n + sets comes after the washing
    of load n; the last washings are beside what follows. Other batches may
    hold some of it, so that every load after the washing of the one before it
    is an order as well.
    """
    aside = {t for one in rounds for done in one.done for t in done.parts.values()}
    aside |= {t for group in b.lanes[built.index][len(loads) :] for t in group[0]}
    row = [t for t in b.batches[built.index][1] if t not in aside]
    opens = {t: lane[0] for group in loads for lane in group for t in lane}
    short = [one for one in rounds if one.sets < len(one.done)] or rounds
    enough = min(one.sets for one in short)
    found: list[tuple[int, ...]] = []
    for sets in dict.fromkeys((max(1, enough), 1)):
        before: dict[int, list[int]] = {}
        for one in short:
            for task, done in zip(one.emptied[sets:], one.done, strict=False):
                opened = opens[next(iter(task.parts.values()))]
                before.setdefault(opened, []).extend(done.parts.values())
        order = tuple(x for t in row for x in (*before.get(t, ()), t))
        if len(order) > len(row):
            found.append(order)
    return tuple(dict.fromkeys(found))


def _washing(
    b: Builder, built: Built, wash: Wash, emptied: TaskRecord, n: int, of: int, count: int
) -> TaskRecord:
    kind, step = wash.kind, wash.step
    assert kind.washed is not None
    record = TaskRecord(
        task_name(built.batch.id, step.id, n, of), built.batch.id, step.id, n, of, count,
        Dimension.COUNT, {},
    )
    span = law(kind.washed.time, count, Dimension.COUNT, None)
    able = ways(b, kind.washed.hands, ANYONE, (), span)
    hands = b.add_task(
        f"{record.id}:load", built.index, min(w.least for w in able), max(w.most for w in able)
    )
    dry = b.up(kind.washed.dry)
    drying = b.add_task(f"{record.id}:run", built.index, dry, dry)
    record.parts = {"load": hands, "run": drying}
    crew = add_crew(b, hands, able)
    verb = "" if step.load is None else step.load.verb
    record.visits.append(VisitRecord("load", crew, hands, 0, verb))
    b.link(last(emptied), first(record), 0, b.down(kind.washed.within))
    b.link(Point(hands, True), Point(drying), 0, 0)
    b.records.append(record)
    return record


def _load_by_load(built: Built, wash: Wash) -> bool:
    """Are the containers of each load emptied for themselves?"""
    order = [s.step.id for s, _ in built.stages]
    stages = dict(zip(order, built.stages, strict=True))
    loads = len(stages[wash.after][0].loads)
    if loads == 1:
        return False
    for step, _, _ in wash.needs:
        if step not in stages:
            return False
        between = [stages[n][0] for n in order[order.index(step) : order.index(wash.after) + 1]]
        if not all(a.step.waves and len(a.loads) == len(c.loads) for a, c in pairwise(between)):
            return False
    return True


def _counts(b: Builder, built: Built, wash: Wash) -> list[int]:
    """How many containers each load fills (one entry for what was filled before the week)."""
    component, dimension = b.component(built.batch), built.batch.dimension
    stages = {s.step.id: s for s, _ in built.stages}
    each: list[list[int]] = []
    for step, _, need in wash.needs:
        loads = stages[step].loads if step in stages else (built.batch.quantity,)
        each.append([places(need.amount, need.per, q, dimension, component) for q in loads])
    if len({len(some) for some in each}) > 1:
        return [sum(map(sum, each))]
    return [sum(some) for some in zip(*each, strict=True)]

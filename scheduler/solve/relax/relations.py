"""Everything that ties two moments of a week together, and the windows that follow from it.

Point 2t is the start of task t and 2t + 1 its end; two more points are the
ends of the horizon. A relation says least <= x[after] - x[before] <= most,
may have bands, and may say x[after] <= last[x[before]].
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import next_blocked
from scheduler.solve.board import Board
from scheduler.solve.hands import ways_until
from scheduler.solve.objective import some_is_free
from scheduler.solve.visits import add_first, possible_starts, tend_reach, window_reach
from scheduler.workload.primitives import HORIZON_END, HORIZON_START

if TYPE_CHECKING:
    from scheduler.solve.arrays import Ints
    from scheduler.solve.index import Index
    from scheduler.workload.primitives import Band, Point, Problem, Task


class Hopeless(Exception):
    """No solution holds every batch: there is nothing to bound."""


@dataclass(slots=True)
class Relation:
    """least <= x[after] - x[before] <= most and x[after] <= last[x[before]], ticks."""

    before: int
    after: int
    least: int
    most: int
    bands: tuple[Band, ...] = ()
    last: Ints | None = None


@dataclass(slots=True)
class Points:
    """Moments, their windows, and what ties them.

    Attributes
    ----------
    low, high : list of int
        x[p] lies in low[p] .. high[p] in every solution that holds all batches.
    """

    problem: Problem
    low: list[int]
    high: list[int]
    relations: list[Relation] = field(default_factory=list)

    def number(self, point: Point) -> int:
        """A point's number."""
        if point.task in (HORIZON_START, HORIZON_END):
            return len(self.low) - (2 if point.task == HORIZON_START else 1)
        return 2 * point.task + point.end


def points_of(index: Index) -> Points:
    """Collect the relations of a problem and tighten the windows until nothing moves.

    Of plans that cost no more than they must: overtime is left out where every tick costs.

    Raises
    ------
    Hopeless
        If a window is empty.
    """
    problem = index.problem
    horizon = problem.horizon
    low, high = [0] * (2 * len(problem.tasks)), [horizon] * (2 * len(problem.tasks))
    for t, task in enumerate(problem.tasks):
        fixed = problem.batches[task.batch].fixed
        low[2 * t] = max(0, task.earliest, 0 if fixed else problem.now)
        high[2 * t + 1] = min(task.latest, horizon)
    points = Points(problem, [*low, 0, horizon], [*high, 0, horizon])
    board = Board(index)
    if board.overtime is not None and some_is_free(problem):
        board.overtime.extend(horizon, horizon)  # as some of it costs nothing
    for t, task in enumerate(problem.tasks):
        points.relations.append(_length(index, board, t, task))
    for link in problem.links:
        points.relations.append(
            Relation(
                points.number(link.before),
                points.number(link.after),
                -horizon if link.least is None else link.least,
                horizon if link.most is None else link.most,
                () if link.band is None else (link.band,),
            )
        )
    _states(points)
    _tighten(points)
    return points


def _length(index: Index, board: Board, t: int, task: Task) -> Relation:
    """The length of a task, and how long it can last from each start with nobody else about."""
    problem = index.problem
    horizon = problem.horizon
    ticks = np.arange(horizon + 1, dtype=np.int64)
    free = ticks + task.most
    last, first = free, ticks + task.least
    chain = index.chains[task.batch]
    i = chain.tasks.index(t)
    if task.within is not None:
        outside = np.ones(horizon, dtype=bool)
        for a, b in task.within:
            outside[max(0, a) : max(0, b)] = False
        last = np.minimum(last, next_blocked(outside))
    for n in chain.crews.get(i, ()):
        last = ways_until(board, problem.crews[n], last, 0, horizon)
    for n in chain.tends.get(i, ()):
        tend = problem.tends[n]
        starts = possible_starts(board, tend, 0, horizon)
        if tend.gap is not None:
            last = np.minimum(last, tend_reach(starts, tend, task.most))
        else:
            last = np.minimum(last, window_reach(starts, tend, 0))
    for n in chain.adds.get(i, ()):
        add = problem.adds[n]
        first = np.maximum(first, add_first(possible_starts(board, add, 0, horizon), add))
    # A start from which the shortest length is too long is no start at all.
    last = np.where(first <= last, last, -1)
    cut = last if bool((last < free).any()) else None
    bands = () if task.stretch is None else (task.stretch,)
    return Relation(2 * t, 2 * t + 1, task.least, task.most, bands, cut)


def _states(points: Points) -> None:
    """A machine is in no setting before it can be."""
    problem = points.problem
    for use in problem.uses:
        options = problem.choices[use.choice].options
        early = []
        for option in options:
            resource = problem.resources[option.resource]
            stateful = resource.setup is not None and option.state is not None
            early.append(
                resource.initial[option.state or 0] if stateful and resource.initial else 0
            )
        task = use.start.task
        lasts = task >= 0 and use.end.task == task and use.end.end and not use.start.end
        if lasts and problem.tasks[task].least > use.grace and min(early) > 0:
            p = points.number(use.start)
            points.low[p] = max(points.low[p], min(early))


def _tighten(points: Points) -> None:
    low, high = points.low, points.high
    relations = points.relations
    moved = True
    for _ in range(len(low) + 1):
        if not moved:
            break
        moved = False
        for r in relations:
            a, b = r.before, r.after
            if low[a] + r.least > low[b]:
                low[b], moved = low[a] + r.least, True
            if high[a] + r.most < high[b]:
                high[b], moved = high[a] + r.most, True
            if high[b] - r.least < high[a]:
                high[a], moved = high[b] - r.least, True
            if low[b] - r.most > low[a]:
                low[a], moved = low[b] - r.most, True
        if any(a > b for a, b in zip(low, high, strict=True)):
            raise Hopeless

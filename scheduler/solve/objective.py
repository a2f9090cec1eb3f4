"""How good a solution is: the bands that the engines compare, recomputed from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.workload.primitives import HORIZON_END, HORIZON_START

if TYPE_CHECKING:
    from collections.abc import Collection

    from scheduler.workload.primitives import Point, Problem, Solution


@dataclass(frozen=True, slots=True, order=True)
class Score:
    """Bands compared in order; less is better.

    Attributes
    ----------
    served : tuple of int
        Portions lacking something at events of rank 1, 2, … in turn.
    quality : int
        Weighted minutes outside the best bands; the last end where the
        problem asks to finish early.
    """

    served: tuple[int, ...]
    quality: int


def moment(problem: Problem, solution: Solution, point: Point) -> int | None:
    """The tick of an endpoint, or None where its task has no place."""
    if point.task == HORIZON_START:
        return 0
    if point.task == HORIZON_END:
        return problem.horizon
    times = solution.times.get(point.task)
    return None if times is None else times[1 if point.end else 0]


def makeable(problem: Problem, placed: Collection[int]) -> frozenset[int]:
    """The placed batches that have everything they need."""
    out = set(placed)
    while True:
        lost = {b for b in out if any(i not in out for i in problem.batches[b].inputs)}
        if not lost:
            return frozenset(out)
        out -= lost


def lacking(problem: Problem, placed: Collection[int]) -> tuple[int, ...]:
    """Portions lacking something, per rank: over plates, the most that any left-out batch costs."""
    served = [0] * problem.ranks
    for plate in problem.plates:
        served[plate.rank - 1] += max((n for b, n in plate.lacks if b not in placed), default=0)
    return tuple(served)


def terms(problem: Problem, solution: Solution) -> Score:
    """Score a solution.

    served[r] = sum over plates of rank r of the most portions that any
    left-out batch makes lack; quality = bands of links with both ends placed
    + stretch bands of placed tasks, in minutes.
    """
    served = lacking(problem, solution.placed(problem))
    if problem.finish:
        return Score(served, max((e for _, e in solution.times.values()), default=0))
    quality = 0
    for link in problem.links:
        if link.band is not None:
            before = moment(problem, solution, link.before)
            after = moment(problem, solution, link.after)
            if before is not None and after is not None:
                quality += link.band.cost((after - before) * problem.grid)
    for t, (start, end) in solution.times.items():
        stretch = problem.tasks[t].stretch
        if stretch is not None:
            quality += stretch.cost((end - start) * problem.grid)
    return Score(served, quality)

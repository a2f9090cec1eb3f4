"""How good a solution is: the bands that the engines compare, recomputed from it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import total_ordering
from typing import TYPE_CHECKING

from scheduler.solve.calm import hectic
from scheduler.solve.changes import changes
from scheduler.workload.primitives import HORIZON_END, HORIZON_START, Used, way_taken

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from scheduler.workload.primitives import Crew, Point, Problem, Solution


NOTHING = Used()
"""No overtime, and no rest eaten."""
LOST = 1 << 40
"""Portions that something fixed without a place counts for: more than anybody serves."""


@total_ordering
@dataclass(frozen=True, slots=True)
class Score:
    """Bands compared in order; less is better.

    Attributes
    ----------
    served : tuple of int
        Portions lacking something at events of rank 1, 2, … in turn, and last
        the batches left out: what cannot be served whole is made as far as it goes.
    money : int
        Overtime and buying in beyond the allowance and rest that is eaten, in the
        kitchen's steps.
    quality : int
        Weighted minutes outside the best bands; the last end where the
        problem asks to finish early.
    changes : int
        What has to be told against the plan on the wall; it comes before quality.
    """

    served: tuple[int, ...]
    money: int
    quality: int
    changes: int = 0

    @property
    def dearer(self) -> tuple[tuple[int, ...], int, int]:
        """The bands above quality, which is never bought with them."""
        return self.served, self.money, self.changes

    def __lt__(self, other: Score) -> bool:
        return (self.dearer, self.quality) < (other.dearer, other.quality)


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


def missing(problem: Problem, placed: Collection[int]) -> tuple[int, ...]:
    """The band of what is missing: portions lacking per rank, then batches left out.

    What is fixed is not left out: without a duty or a break it is no plan, and worse than any.
    """
    gone = [batch for b, batch in enumerate(problem.batches) if b not in placed]
    left_out = sum(not batch.fixed for batch in gone)
    first, *rest = lacking(problem, placed)
    return (first + LOST * (len(gone) - left_out), *rest, left_out)


def takers(problem: Problem) -> list[frozenset[int]]:
    """For each batch that is no dish those that take from it: what no batch takes is not made."""
    dishes = {plate.batch for plate in problem.plates}
    found: list[set[int]] = [set() for _ in problem.batches]
    for link in problem.links:
        if link.before.task >= 0 and link.after.task >= 0:
            one = problem.tasks[link.before.task].batch
            other = problem.tasks[link.after.task].batch
            if one != other and one not in dishes:
                found[one].add(other)
    return [frozenset(s) for s in found]


def crew_price(crew: Crew, people: tuple[int, ...], times: tuple[int, int] | None) -> int:
    """What the way costs in which a crew mans its task."""
    way = None if times is None else way_taken(crew, people, times[1] - times[0])
    return 0 if way is None else way.price


def hands(problem: Problem, solution: Solution) -> Iterator[tuple[int, int, int]]:
    """Everybody's work: person, start, end."""
    for c, people in solution.crews.items():
        for p in people:
            yield p, *solution.times[problem.crews[c].task]
    tends = (v for visits in solution.tends.values() for v in visits)
    for visit in (*tends, *solution.adds.values(), *solution.cleans.values()):
        for p in visit.people:
            yield p, visit.start, visit.end


def extras(problem: Problem, solution: Solution) -> Used:
    """Ticks of overtime and of rest: of every extra as much as the work that uses most of it."""
    if not problem.extras:
        return NOTHING
    used = [0] * len(problem.extras)
    for p, start, end in hands(problem, solution):
        for n, extra in enumerate(problem.extras):
            if extra.person == p:
                used[n] = max(used[n], extra.used(start, end))
    return of_each(problem, used)


def of_each(problem: Problem, used: Sequence[int]) -> Used:
    """So much of every extra, summed."""
    rest = sum(n for n, extra in zip(used, problem.extras, strict=True) if extra.rest)
    return Used(sum(used) - rest, rest)


def money(problem: Problem, used: Used = NOTHING) -> int:
    """The band of money with so many ticks of overtime and rest."""
    if problem.money is None:
        return problem.spent
    grid = problem.grid
    return problem.money.steps(used.overtime * grid, problem.spent, used.rest * grid)


def some_is_free(problem: Problem) -> bool:
    """Is there an extra of which a tick costs nothing?"""
    ticks = {Used(int(not extra.rest), int(extra.rest)) for extra in problem.extras}
    return any(money(problem, one) <= money(problem) for one in ticks)


@dataclass(frozen=True, slots=True)
class Parts:
    """What quality is made of."""

    freshness: int = 0
    in_hand: int = 0
    calm: int = 0
    wishes: int = 0

    @property
    def quality(self) -> int:
        """All of it."""
        return self.freshness + self.in_hand + self.calm + self.wishes


def parts(problem: Problem, solution: Solution) -> Parts:
    """Quality by its parts.

    Bands of links with both ends placed and stretch bands of placed tasks, in
    minutes; prices of starts, options and ways that are taken; and `calm`.
    """
    fresh = in_hand = wishes = 0
    for link in problem.links:
        if link.band is not None:
            before = moment(problem, solution, link.before)
            after = moment(problem, solution, link.after)
            if before is not None and after is not None:
                band, x = link.band, (after - before) * problem.grid
                cost = band.cost(x)
                if band.wish:
                    wishes += cost
                elif band.ripe is None:
                    fresh += cost
                else:
                    ripe = band.weight * (max(0, band.ripe - x) + max(0, x - band.high))
                    fresh += ripe
                    in_hand += cost - ripe
    for t, (start, end) in solution.times.items():
        task = problem.tasks[t]
        if task.stretch is not None:
            fresh += task.stretch.cost((end - start) * problem.grid)
        for dear in task.dear:
            if dear.start <= start < dear.end:
                if dear.wish:
                    wishes += dear.price
                else:
                    in_hand += dear.price
    for n, crew in enumerate(problem.crews):
        if n in solution.crews and any(way.price for way in crew.ways):
            wishes += crew_price(crew, solution.crews[n], solution.times.get(crew.task))
    for c, o in solution.chosen.items():
        wishes += problem.choices[c].options[o].price
    wild = hectic(problem, solution)
    return Parts(fresh, in_hand + wild.over, wild.calm, wishes)


def terms(problem: Problem, solution: Solution) -> Score:
    """Score a solution.

    served[r] = sum over plates of rank r of the most portions that any
    left-out batch makes lack, served[-1] = batches left out; money = steps of
    `Money` for all overtime, rest that is eaten and what is bought in; `changes`
    where a plan on the wall is made anew; quality = the sum of its `parts`.
    """
    served = missing(problem, solution.placed(problem))
    if problem.finish:
        return Score(served, 0, max((e for _, e in solution.times.values()), default=0))
    spent = money(problem, extras(problem, solution))
    return Score(served, spent, parts(problem, solution).quality, changes(problem, solution))

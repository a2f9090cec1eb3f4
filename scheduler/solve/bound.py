"""No plan for these batches and methods is better than this: rounds that find a bound.

Only for the quality of plans that hold every batch; what is left out has no
price here. The people and machines a week shares are priced, everything else
falls apart into trees that are planned exactly (`relax`). A round is a pure
function for any executor, like those that look for better plans.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from functools import lru_cache
from math import gcd
from typing import TYPE_CHECKING

from scheduler.solve.index import Index
from scheduler.solve.relax.ascent import Ascent, begin, climb
from scheduler.solve.relax.dual import Dual
from scheduler.solve.relax.network import SCALE
from scheduler.solve.relax.relations import Hopeless

if TYPE_CHECKING:
    from scheduler.solve.objective import Score
    from scheduler.workload.primitives import Problem

STEPS = 20
"""Steps of a round in deterministic mode."""
SHARE = 0.1
"""Of the time of everybody who searches, what looking for a bound may take after a first round."""


@dataclass(frozen=True, slots=True)
class Bound:
    """What is known.

    Attributes
    ----------
    value : int or None
        No solution that holds every batch has less quality; None: nothing is known.
    ascent : Ascent or None
        Where the prices stand, for the next round; None where there is no point in one.
    seconds : float
        What it has taken so far.
    cheapest : int
        What a plan without overtime costs.
    """

    value: int | None = None
    ascent: Ascent | None = None
    seconds: float = 0.0
    cheapest: int = 0

    @property
    def over(self) -> bool:
        """No further round would find more."""
        return self.seconds > 0 and (self.ascent is None or self.ascent.over)

    def due(self, score: Score, elapsed: float, workers: int) -> bool:
        """Whether it is time for another round, with so many processes at work for so long."""
        return (
            not any(score.served)
            and not self.over
            and not self.reached(score)
            and self.seconds <= SHARE * elapsed * workers
        )

    def counts(self, score: Score) -> bool:
        """Whether only quality can still be better: nothing lacks, nothing costs or changes."""
        return not any(score.served) and score.money <= self.cheapest and not score.changes

    def reached(self, score: Score) -> bool:
        """Whether that is the best there can be."""
        return self.value is not None and self.counts(score) and score.quality <= self.value

    def at_least(self, value: int) -> Bound:
        """With what somebody else has found."""
        return replace(self, value=value if self.value is None else max(value, self.value))

    def let_be(self) -> Bound:
        """Nobody asks how good a plan could be."""
        return replace(self, seconds=max(1.0, self.seconds), ascent=None)

    def below(self, score: Score) -> int | None:
        """The bound of a solution; None where nothing is known of one like it."""
        known = self.value is not None and not any(score.served) and self.value <= score.quality
        return self.value if known else None


def bound_round(
    problem: Problem, so_far: Bound, target: int, seconds: float, deterministic: bool
) -> Bound:
    """Look for a better bound, for about so many seconds (in deterministic mode so many steps).

    Parameters
    ----------
    target : int
        Quality of the best solution known; reached, the bound is as good as it can be.
    """
    began = time.monotonic()
    if problem.finish:
        return replace(so_far, seconds=1.0, ascent=None)
    steps = 0

    def go_on() -> bool:
        nonlocal steps
        steps += 1
        if deterministic:
            return steps <= STEPS
        return time.monotonic() - began < seconds

    try:
        dual = _dual(problem)
        ascent = climb(dual, so_far.ascent or begin(dual), target, go_on)
    except Hopeless:
        return replace(so_far, seconds=1.0, ascent=None)
    value = up_to_step(problem, -(-ascent.value // SCALE))
    if so_far.value is not None:
        value = max(value, so_far.value)
    took = so_far.seconds + max(time.monotonic() - began, 1e-3)
    return replace(so_far, value=value, ascent=ascent, seconds=took)


def up_to_step(problem: Problem, value: int) -> int:
    """The least quality from `value` on that any plan can have.

    Times are ticks, so every cost is a sum of weight * grid, weight * low and
    weight * high in whole numbers of each, and of prices: a multiple of what divides all.
    """
    bands = [link.band for link in problem.links] + [task.stretch for task in problem.tasks]
    parts = [
        b.weight * x for b in bands if b is not None for x in (problem.grid, b.low, b.high)
    ]
    parts += [d.price for task in problem.tasks for d in task.dear]
    parts += [way.price for crew in problem.crews for way in crew.ways]
    parts += [o.price for choice in problem.choices for o in choice.options]
    calm = problem.calm
    if calm is not None:
        parts += [calm.late, calm.section, calm.change, calm.hand_over, calm.oven]
        parts.append(calm.clean * problem.grid)
        tops = {s.most for shifts in calm.shifts for s in shifts if s.most is not None}
        parts += [calm.over * x for x in (problem.grid, *tops)]
    step = gcd(*parts)
    return max(0, -(-value // step) * step if step else value)


@lru_cache(maxsize=1)
def _dual(problem: Problem) -> Dual:
    return Dual(Index(problem))

"""Where tasks were in an older plan: what is put in goes no further from there than it must.

Nothing of this is part of how good a plan is; it decides between places only
where a plan is made from an older one.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from scheduler.solve.arrays import Ints
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.primitives import Problem, Solution

AWAY = 15
"""Minutes from which on a start counts as another one (semantics: what counts as a change)."""
STRAY = 3_000
"""What that seems to cost a task: more than freshness, less than making others go."""


@dataclass(frozen=True, slots=True)
class Anchors:
    """Where they were.

    Attributes
    ----------
    starts : dict of int to int
        Task (the first part of a step): the tick at which it started.
    people : dict of int to frozenset of int
        Task: who was at it.
    grid : int
        Minutes a tick.
    """

    starts: dict[int, int] = field(default_factory=dict)
    people: dict[int, frozenset[int]] = field(default_factory=dict)
    grid: int = 1

    def away(self, task: int, low: int, high: int) -> Ints | None:
        """What it seems to cost a task to start at each tick of low .. high."""
        was = self.starts.get(task)
        if was is None:
            return None
        minutes = np.abs(np.arange(low, high + 1, dtype=np.int64) - was) * self.grid
        return np.where(minutes >= AWAY, STRAY + minutes, 0)

    def cost(self, times: dict[int, tuple[int, int]], tasks: tuple[int, ...]) -> int:
        """The same of tasks that have a place."""
        total = 0
        for t in tasks:
            price = None if t not in times else self.away(t, times[t][0], times[t][0])
            total += 0 if price is None else int(price[0])
        return total


def anchors_of(compiled: Compiled, older: Solution) -> Anchors:
    """Where the tasks of a kitchen were."""
    problem: Problem = compiled.problem
    firsts = (next(iter(record.parts.values())) for record in compiled.tasks)
    people: dict[int, set[int]] = {}
    for n, who in older.crews.items():
        people.setdefault(problem.crews[n].task, set()).update(who)
    for n, visits in older.tends.items():
        people.setdefault(problem.tends[n].task, set()).update(p for v in visits for p in v.people)
    for n, visit in older.adds.items():
        people.setdefault(problem.adds[n].task, set()).update(visit.people)
    return Anchors(
        {t: older.times[t][0] for t in firsts if t in older.times},
        {t: frozenset(who) for t, who in people.items()},
        problem.grid,
    )

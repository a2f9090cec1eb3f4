"""The band of changes: what people have to be told against the plan on the wall.

What counts stands in `domain/changing.py`. Of a whole solution `changes` reckons it; a board keeps
its own account (`Told`), batch by batch. People told do not add up over jobs, so a search for one
place sees the price of a job and of telling those who would be told of nothing else (`anchors`).
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from scheduler.domain.changing import JOB, PERSON, moved, nearness

if TYPE_CHECKING:

    from scheduler.solve.board import Board
    from scheduler.workload.primitives import Changes, JobWas, Problem, Solution

    Change = tuple[int, frozenset[int]]
    """The price of a job's change, and who is told of it."""

NOTHING: Change = (0, frozenset())


def changes(problem: Problem, solution: Solution) -> int:
    """The band of a solution; 0 where no plan hangs on the wall."""
    if problem.changes is None:
        return 0
    every = [changed(problem, problem.changes, job, solution) for job in problem.changes.jobs]
    return sum(price for price, _ in every) + PERSON * len({p for _, who in every for p in who})



def changed(
    problem: Problem, of: Changes, job: JobWas, now: Board | Solution
) -> tuple[int, frozenset[int]]:
    """What one job costs, and who is told of it."""
    grid = problem.grid
    times = now.times.get(job.task)
    if times is None:
        if job.start is None:
            return NOTHING
        return nearness(job.start * grid, of.now * grid) * JOB, job.people
    people = at_it(job, now)
    if job.start is None:
        return nearness(times[0] * grid, of.now * grid) * JOB, people
    near = nearness(job.start * grid, of.now * grid)
    quarters = moved((times[0] - job.start) * grid)
    if quarters:
        return near * (JOB + quarters), people | job.people
    others = people ^ job.people
    return (near * JOB, others) if others else NOTHING


def at_it(job: JobWas, now: Board | Solution) -> frozenset[int]:
    """Everybody at a job."""
    found = {p for n in job.crews for p in now.crews.get(n, ())}
    found |= {p for n in job.tends for v in now.tends.get(n, ()) for p in v.people}
    found |= {p for n in job.adds if n in now.adds for p in now.adds[n].people}
    return frozenset(found)


class Told:
    """The account of a board: of each batch what its jobs cost, and how often each is told."""

    def __init__(self, board: Board, of: Changes) -> None:
        self.board, self.of = board, of
        self.price = 0
        self.people: Counter[int] = Counter()
        self.mine: dict[int, list[JobWas]] = {}
        self.known: dict[int, tuple[int, tuple[int, ...]]] = {}
        for job in of.jobs:
            self.mine.setdefault(job.batch, []).append(job)
        for b in self.mine:
            self.look(b)

    @property
    def total(self) -> int:
        """The band as the board is now."""
        return self.price + PERSON * len(self.people)

    def look(self, b: int) -> None:
        """A batch was put somewhere, or taken off."""
        jobs = self.mine.get(b)
        if jobs is None:
            return
        price, told = self.known.get(b, (0, ()))
        self.price -= price
        for p in told:
            self.people[p] -= 1
            if not self.people[p]:
                del self.people[p]
        every = [changed(self.board.problem, self.of, job, self.board) for job in jobs]
        price = sum(x for x, _ in every)
        told = tuple(p for _, who in every for p in who)
        self.price += price
        self.people.update(told)
        self.known[b] = price, told

    def worst(self, pinned: frozenset[int]) -> list[int]:
        """Batches with jobs that are changed, and that may move."""
        placed = self.board.placed
        known = sorted(self.known.items())
        return [b for b, (price, _) in known if price and b in placed and b not in pinned]

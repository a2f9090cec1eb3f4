"""A dispatching rule such as a planner uses with pencil and paper.

What is needed last is pencilled in first, each step as late as it can be, with
the first person who is free; what does not fit is left out, and nothing that
stands is moved to make room for it.
"""

from __future__ import annotations

from collections.abc import Iterable

from scheduler.workload.primitives import Problem, Solution
from tests.bench.pencil import Pencil
from tests.bench.pencil_in import PencilIn, Wanted
from tests.bench.pencil_touch import Touch
from tests.bench.planted_grow import in_order


def by_hand(problem: Problem) -> Solution:
    """A plan by that rule; what is left out, and what lacks it, is absent."""
    touch, pencil = Touch(problem), Pencil(problem)
    hand = PencilIn(pencil, touch)
    wanted = Wanted(lambda person, _start, _end: (person,))
    placed = {b for b, x in enumerate(problem.batches) if x.fixed and hand.place(b, wanted)}
    consumers = touch.consumers(problem)
    for b in in_order(problem, touch):
        after = consumers[b]
        if (not after or after & placed) and hand.place(b, wanted):
            placed.add(b)
    return without(problem, pencil.solution(), useless(problem, placed, consumers))


def useless(problem: Problem, placed: set[int], consumers: list[set[int]]) -> set[int]:
    """What is placed but lacks something, or only feeds what does."""
    left = set(placed)
    while True:
        gone = {
            b
            for b in left
            if not problem.batches[b].fixed
            and (
                any(i not in left for i in problem.batches[b].inputs)
                or (consumers[b] and not consumers[b] & left)
            )
        }
        if not gone:
            return placed - left
        left -= gone


def without(problem: Problem, solution: Solution, batches: Iterable[int]) -> Solution:
    """A solution less some batches."""
    gone = {t for b in batches for t in problem.batches[b].tasks}
    return Solution(
        {t: x for t, x in solution.times.items() if t not in gone},
        dict(solution.chosen),
        {n: x for n, x in solution.crews.items() if problem.crews[n].task not in gone},
        {n: x for n, x in solution.tends.items() if problem.tends[n].task not in gone},
        {n: x for n, x in solution.adds.items() if problem.adds[n].task not in gone},
    )

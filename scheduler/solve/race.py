"""Helpers that make room as well: whoever is first to have everything in its place.

How long making room takes is a matter of luck: on one planted week of 250
visits between 0.7 s and more than 24 s, with about the same chance in each
second. So helpers do not share the work, they try their own luck.
"""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from scheduler.solve.board import Board
from scheduler.solve.budget import Budget
from scheduler.solve.construct import adopt
from scheduler.solve.objective import money, terms
from scheduler.solve.packed import Packed, with_problem
from scheduler.solve.room import make_room
from scheduler.solve.rounds import Outcome, Round, index_of

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future

    from scheduler.workload.primitives import Problem, Solution

SLICE = 1.0
"""Seconds after which a helper begins again, from the best that anybody has by then."""


def room_round(problem: Problem, todo: Round) -> Outcome:
    """Make room for what has no place."""
    board = Board(index_of(problem))
    adopt(board, todo.solution)
    budget = Budget(todo.seconds, todo.deterministic, lambda: False)
    make_room(board, Random(todo.seed), budget, 1.0, lambda _: None)
    solution = board.solution()
    return Outcome(solution, terms(problem, solution), todo.size, False)


class Race:
    """Helpers beside a board on which room is made.

    Parameters
    ----------
    problem : Problem
    start : Solution
        What all of them begin with.
    rng : random.Random
        Draws their seeds.
    executor : concurrent.futures.Executor
    helpers : int
        So many at once.
    """

    def __init__(
        self, problem: Problem, start: Solution, rng: Random, executor: Executor, helpers: int
    ) -> None:
        self.problem = problem
        self.best, self.score = start, terms(problem, start)
        self.cheapest = money(problem)
        self.seeds = Random(rng.randrange(1 << 30))
        self.executor = executor
        self.packed = Packed.of(problem)
        self.running: list[Future[Outcome]] = []
        self.lost = False
        for _ in range(helpers):
            self._submit()

    def found(self, solution: Solution) -> None:
        """Something better was found here."""
        score = terms(self.problem, solution)
        if score < self.score:
            self.best, self.score = solution, score

    def beaten(self) -> bool:
        """Has a helper everything in its place?"""
        for future in [f for f in self.running if f.done()]:
            self.running.remove(future)
            try:
                outcome = future.result()
            except Exception:  # the search will meet it too, and says so
                self.lost = True
                continue
            if outcome.score < self.score:
                self.best, self.score = outcome.solution, outcome.score
            if not self.complete:
                self._submit()
        return self.complete

    @property
    def complete(self) -> bool:
        """Does the best leave nothing out, and cost nothing that could perhaps be saved?"""
        return not any(self.score.served) and self.score.money <= self.cheapest

    def _submit(self) -> None:
        if self.lost:
            return
        todo = Round(self.best, self.seeds.randrange(1 << 30), 0, 0, SLICE, False)
        try:
            self.running.append(self.executor.submit(with_problem, self.packed, room_round, todo))
        except (RuntimeError, OSError, MemoryError):
            self.lost = True

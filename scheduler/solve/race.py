"""Helpers that make room as well: whoever is first to have everything in its place.

How long making room takes is a matter of luck: on one planted week of 250
visits between 0.7 s and more than 24 s, with about the same chance in each
second. So helpers do not share the work, they try their own luck, and from
first plans of their own: which batch had its turn before which is half of it.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import TYPE_CHECKING

from scheduler.solve.board import Board
from scheduler.solve.budget import Budget
from scheduler.solve.construct import adopt, construct, drop_hopeless
from scheduler.solve.objective import money, terms
from scheduler.solve.packed import Packed, with_problem
from scheduler.solve.room import make_room
from scheduler.solve.rounds import Outcome, Round, index_of

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future

    from scheduler.workload.primitives import Problem, Solution

SLICE = 1.0
"""Seconds after which a helper says what it has …"""
AT_LEAST = 1 / 400
"""… or so many for each batch, where that is more and the first plan is its own …"""
TURNS = 4
"""… and so often before it begins with another first plan."""
WHIMS = (240, 720)
"""By so many minutes batches have their turn at other times in such a plan, more or less."""


def room_round(problem: Problem, todo: Round) -> Outcome:
    """Make room for what has no place."""
    board = Board(index_of(problem))
    adopt(board, todo.solution)
    budget = Budget(todo.seconds, todo.deterministic, lambda: False)
    make_room(board, Random(todo.seed), budget, 1.0, lambda _: None)
    solution = board.solution()
    return Outcome(solution, terms(problem, solution), todo.size, False)


def fresh_round(problem: Problem, todo: Round) -> Outcome:
    """Make room in a first plan of its own, whatever solution it is given."""
    rng = Random(todo.seed)
    board = construct(index_of(problem), rng, rng.choice(WHIMS) / problem.grid)
    drop_hopeless(board)
    return room_round(problem, replace(todo, solution=board.solution()))


class Race:
    """Helpers beside a board on which room is made.

    Parameters
    ----------
    problem : Problem
    start : Solution
        The best so far; helpers begin with it unless `fresh`.
    rng : random.Random
        Draws their seeds.
    executor : concurrent.futures.Executor
    helpers : int
        So many at once.
    fresh : bool
        Whether they may begin with first plans of their own; else with the best of all.
    """

    def __init__(
        self,
        problem: Problem,
        start: Solution,
        rng: Random,
        executor: Executor,
        helpers: int,
        fresh: bool = False,
    ) -> None:
        self.problem = problem
        self.best, self.score = start, terms(problem, start)
        self.cheapest = money(problem)
        self.seeds = Random(rng.randrange(1 << 30))
        self.executor = executor
        self.packed = Packed.of(problem)
        self.fresh = fresh
        self.slice = max(SLICE, AT_LEAST * len(problem.batches)) if fresh else SLICE
        self.running: dict[Future[Outcome], int] = {}
        """What helpers do, and how often they have told of that plan before."""
        self.lost = False
        for _ in range(helpers):
            self._submit(None, 0)

    def found(self, solution: Solution) -> None:
        """Something better was found here."""
        score = terms(self.problem, solution)
        if score < self.score:
            self.best, self.score = solution, score

    def beaten(self) -> bool:
        """Has a helper everything in its place?"""
        for future in [f for f in self.running if f.done()]:
            turn = self.running.pop(future)
            try:
                outcome = future.result()
            except Exception:  # the search will meet it too, and says so
                self.lost = True
                continue
            if outcome.score < self.score:
                self.best, self.score = outcome.solution, outcome.score
            if not self.complete:
                self._submit(outcome.solution, turn + 1)
        return self.complete

    @property
    def complete(self) -> bool:
        """Does the best leave nothing out, and cost nothing that could perhaps be saved?"""
        return not any(self.score.served) and self.score.money <= self.cheapest

    def _submit(self, own: Solution | None, turn: int) -> None:
        """Ask a helper to go on with its own plan; or with another, or with the best of all."""
        if self.lost:
            return
        if not self.fresh:
            own, turn = self.best, 0
        elif turn == TURNS:
            own, turn = None, 0
        seed = self.seeds.randrange(1 << 30)
        todo = Round(own or self.best, seed, 0, 0, self.slice, False)
        work = room_round if own is not None else fresh_round
        try:
            self.running[self.executor.submit(with_problem, self.packed, work, todo)] = turn
        except (RuntimeError, OSError, MemoryError):
            self.lost = True

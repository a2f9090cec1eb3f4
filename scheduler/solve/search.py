"""The search for a better plan: moves by insertion here, rounds of the model beside.

With an executor the rounds run in its processes while moves go on here, and a
round's answer is taken up as soon as it is there. Without one, and always in
deterministic mode, moves and rounds take turns; then nothing depends on a
clock. A helper that dies costs its round and nothing else.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.solve.budget import MOVES_A_SECOND
from scheduler.solve.construct import adopt
from scheduler.solve.improve import START, Improve
from scheduler.solve.packed import Packed, with_problem
from scheduler.solve.rounds import FIRST_SIZE, Outcome, Round, model_round

if TYPE_CHECKING:
    from collections.abc import Callable
    from concurrent.futures import Executor, Future
    from random import Random

    from scheduler.solve.board import Board
    from scheduler.solve.budget import Budget
    from scheduler.solve.objective import Score
    from scheduler.workload.primitives import Solution

ROUND = 1.0
"""Seconds of a round."""
MANY = 10_000
TURN = MOVES_A_SECOND // 2
"""Moves between two rounds that take turns with them."""
SOLVES = 3
"""Solves of a round in deterministic mode."""


class Search:
    """Improves a board until the budget is used up or nothing better exists.

    Parameters
    ----------
    board : Board
    rng : random.Random
    budget : Budget
    executor : concurrent.futures.Executor or None
        Runs rounds; `helpers` at once.
    better : callable
        Told every new best.
    """

    def __init__(
        self,
        board: Board,
        rng: Random,
        budget: Budget,
        executor: Executor | None,
        helpers: int,
        better: Callable[[Score, Solution], None],
    ) -> None:
        self.board = board
        self.problem = board.problem
        self.rng = rng
        self.budget = budget
        self.executor = executor if not budget.deterministic else None
        self.packed = Packed.of(self.problem) if self.executor is not None else None
        self.helpers = helpers
        self.better = better
        self.moves = Improve(board, rng)
        self.solution = board.solution()
        self.score = self.moves.score
        self.proved = False
        self.lost: str | None = None
        """What became of a helper that died."""
        self.tell_lost: Callable[[str], None] = lambda what: None
        """Told so at once."""
        self.sizes = [float(FIRST_SIZE)] * max(1, helpers)
        self.running: list[Future[Outcome] | None] = [None] * helpers

    def run(self) -> None:
        """Search; `solution`, `score` and `proved` are the answer."""
        over = self.budget.until(1.0)
        scale = START * max(1, self.score.quality)
        count = 0
        while not over() and not self.proved:
            threshold = int(scale * max(0.0, 1.0 - self.budget.used()) ** 2)
            if self.moves.move(threshold) and self.moves.score < self.score:
                self._take(self.moves.score, self.board.solution())
            count += 1
            if self.executor is not None:
                self._collect()
            elif count % TURN == 0 and self.lost is None:  # what ended a helper could end us
                self._merge(0, model_round(self.problem, self._round(0), self.budget.stop))

    def _take(self, score: Score, solution: Solution) -> None:
        self.score, self.solution = score, solution
        self.moves.best = min(self.moves.best, score)
        self.better(score, solution)

    def _round(self, which: int) -> Round:
        left = max(0.1, self.budget.left())
        return Round(
            self.solution,
            self.rng.randrange(1 << 30),
            self.sizes[which],
            SOLVES if self.budget.deterministic else MANY,
            min(ROUND, left),
            self.budget.deterministic,
        )

    def _merge(self, which: int, outcome: Outcome) -> None:
        self.sizes[which] = outcome.size
        if outcome.score < self.score:
            self._take(outcome.score, outcome.solution)
            adopt(self.board, outcome.solution)
            self.moves.score = outcome.score
        if outcome.proved and outcome.score.served == self.score.served:
            self.proved = True

    def _collect(self) -> None:
        """Take up what rounds have found, and start new ones."""
        for which in range(len(self.running)):
            future = self.running[which]
            if future is not None and not future.done():
                continue
            self.running[which] = None
            try:
                outcome = None if future is None else future.result()
            except Exception as error:  # whatever it was, it was the helper's; ours is sound
                self._alone(error)
                return
            if outcome is not None:
                self._merge(which, outcome)
            if not self.proved:
                self._submit(which)

    def _submit(self, which: int) -> None:
        """Have a helper begin a round."""
        if self.executor is None or self.packed is None:
            return
        todo = self._round(which)
        if not self.budget.deterministic:
            todo = replace(todo, seconds=ROUND)
        try:
            self.running[which] = self.executor.submit(
                with_problem, self.packed, model_round, todo
            )
        except (RuntimeError, OSError, MemoryError) as error:
            self._alone(error)

    def _alone(self, error: Exception) -> None:
        """Go on without helpers."""
        self.lost = f"{type(error).__name__}: {error}"
        self.executor = None
        self.running = [None] * len(self.running)
        self.tell_lost(self.lost)

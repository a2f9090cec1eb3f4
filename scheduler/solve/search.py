"""The search for a better plan: moves by insertion here, rounds of the model beside.

With an executor the rounds run in its processes while moves go on here, and a
round's answer is taken up as soon as it is there. Without one, and always in
deterministic mode, moves and rounds take turns; then nothing depends on a
clock. A helper that dies costs its round and nothing else.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from scheduler.solve.bound import Bound, bound_round
from scheduler.solve.budget import MOVES_A_SECOND
from scheduler.solve.construct import adopt
from scheduler.solve.improve import Improve
from scheduler.solve.objective import money
from scheduler.solve.packed import Packed, with_problem
from scheduler.solve.rounds import (
    FIRST_SIZE,
    TOLD_SIZE,
    Outcome,
    Round,
    model_round,
    moves_round,
    whole_round,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from concurrent.futures import Executor, Future
    from random import Random

    from scheduler.solve.board import Board
    from scheduler.solve.budget import Budget
    from scheduler.solve.objective import Score
    from scheduler.workload.primitives import Solution

ROUND = 1.0
"""Seconds of a round …"""
TOLD_ROUND = 2.0
"""… and of the model's where people have to be told of changes: it takes larger parts."""
MANY = 10_000
TURN = MOVES_A_SECOND // 2
"""Moves between two rounds that take turns with them."""
WHOLE_FIRST = 10.0
"""Seconds of the first round with everything free, and how long nothing better has been found
before it; each one gets twice the time of the one before."""
WHOLE_MOST = 150
"""Batches of a week for which such a round is worth trying."""
EVERY = 8
"""In deterministic mode a turn in so many is followed by one for the bound."""
SHORT_ROUND = 0.3
"""Seconds of a round for the bound without helpers."""
TRY = 0.15
"""How often a round is of any kind instead of the one that brings most."""
RECALL = 0.7
"""How slowly the gains of a kind of round are forgotten."""
SERVED = 1_000_000
"""The gain of a plan that serves more or costs less …"""
CHANGED = 100
"""… and of a step less of changes, beside a minute less of quality."""
BETWEEN = 40
"""Moves between two rounds of the model here, while people have to be told of changes."""
HERE = -1
"""The place of rounds that are made here, beside those of helpers."""
SOLVES = 1
"""Solves of a round in deterministic mode; one takes about as long as a round by the clock."""


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
    bounded : callable, optional
        Told every new bound; left out, no time is spent on one.
    """

    def __init__(
        self,
        board: Board,
        rng: Random,
        budget: Budget,
        executor: Executor | None,
        helpers: int,
        better: Callable[[Score, Solution], None],
        bounded: Callable[[int], None] | None = None,
    ) -> None:
        self.board = board
        self.problem = board.problem
        self.rng = rng
        self.budget = budget
        self.executor = executor if not budget.deterministic else None
        self.packed = Packed.of(self.problem) if self.executor is not None else None
        self.helpers = helpers
        self.better = better
        self.bounded = bounded
        self.known = Bound(cheapest=money(self.problem))
        if bounded is None:
            self.known = self.known.let_be()
        self.looking = False
        """A helper is at the bound."""
        self.whole = WHOLE_FIRST
        self.count = 0
        """Moves made here …"""
        self.moving_until = 0
        """… and how many before the next round of the model here."""
        self.moved = 0.0
        """When the best solution was found."""
        self.moves = Improve(board, rng)
        self.solution = board.solution()
        self.score = self.moves.score
        self.proved = False
        self.lost: str | None = None
        """What became of a helper that died."""
        self.tell_lost: Callable[[str], None] = lambda what: None
        """Told so at once."""
        self.gains: dict[str, float | None] = {"model": None, "moves": None}
        """Of each kind of round how much better a plan it has made lately; None: not tried yet."""
        nothing = (self.score, self.solution), ""
        self.todo: list[tuple[tuple[Score, Solution], str]] = [nothing] * (helpers + 1)
        """What each helper's round began with, and its kind; last those here."""
        told = self.problem.changes is not None
        self.seconds, size = (TOLD_ROUND, TOLD_SIZE) if told else (ROUND, FIRST_SIZE)
        """Of a round of the model, and how many batches it begins with."""
        self.sizes = [float(size)] * (helpers + 1)
        self.running: list[Future[Outcome | Bound] | None] = [None] * helpers

    def run(self, part: float = 1.0) -> None:
        """Search until so much of the time is used up, now or in several goes.

        `solution`, `score` and `proved` are the answer.
        """
        over = self.budget.until(part)
        if self.executor is None and self.count == 0:
            self._turn_of_bound(0)
        while not over() and not self.proved:
            if self.count >= self.moving_until and self._model_here():
                continue
            threshold = self.moves.threshold(self.budget.used())
            if self.moves.move(threshold) and self.moves.score < self.score:
                self._take(self.moves.score, self.board.solution())
            self.count += 1
            if self.executor is not None:
                self._collect()
            elif self.count % TURN == 0 and self.lost is None:  # what ended a helper could end us
                self._model_round()
                self._turn_of_bound(self.count // TURN)

    def _model_round(self) -> None:
        outcome = model_round(self.problem, self._round(HERE), self.budget.stop)
        self.budget.spend(ROUND)
        self._merge(HERE, outcome)

    def _model_here(self) -> bool:
        """A round of the model here too, in turns with moves, while people have to be told.

        What has changed places goes back only together, which moves do not find.
        """
        due = self.score.changes and not self.budget.deterministic and self.lost is None
        if not due or self.budget.left() < ROUND:
            return False
        self.moving_until = self.count + BETWEEN
        self._model_round()
        if self.executor is not None:
            self._collect()
        return True

    @property
    def bound(self) -> int | None:
        """No solution that serves as much has less quality; None: nothing is known."""
        return self.score.quality if self.proved else self.known.below(self.score)

    def _take(self, score: Score, solution: Solution) -> None:
        self.score, self.solution = score, solution
        self.moves.best = min(self.moves.best, score)
        self.moved = self.budget.elapsed()
        self.better(score, solution)
        self.proved = self.proved or self.known.reached(score)

    def _turn_of_bound(self, turn: int) -> None:
        """Without helpers: a round for the bound now and then, and before anything else."""
        due = self.known.due(self.score, self.budget.elapsed(), 1)
        if self.budget.deterministic:
            due = turn % EVERY == 0 and self.known.due(self.score, MANY, MANY)
        if due:
            seconds = min(SHORT_ROUND, self.budget.left())
            todo = (self.known, self.score.quality, seconds, self.budget.deterministic)
            self._learn(bound_round(self.problem, *todo))

    def _learn(self, known: Bound) -> None:
        before, self.known = self.known.value, known
        self.proved = self.proved or known.reached(self.score)
        if self.bounded is not None and known.value is not None and known.value != before:
            self.bounded(known.value)

    def _due(self) -> bool:
        return self.known.due(self.score, self.budget.elapsed(), 1 + self.helpers)

    def _stuck(self) -> bool:
        """Prices lead no further (or nobody asks) and moves have not for long: then the model."""
        moving = len(self.problem.batches) - len(self.board.index.pinned)
        waited = self.budget.elapsed() - self.moved
        return self.known.over and moving <= WHOLE_MOST and waited >= self.whole

    def _round(self, which: int, work: str = "model") -> Round:
        self.todo[which] = (self.score, self.solution), work
        left = max(0.1, self.budget.left())
        return Round(
            self.solution,
            self.rng.randrange(1 << 30),
            self.sizes[which],
            SOLVES if self.budget.deterministic or (which == HERE and self.score.changes) else MANY,
            min(self.seconds if work == "model" else ROUND, left),
            self.budget.deterministic,
        )

    def _merge(self, which: int, outcome: Outcome) -> None:
        """Take up what a round has found, on top of what has been found here meanwhile."""
        base, work = self.todo[which]
        self.sizes[which] = outcome.size
        if outcome.bound is not None and self.known.counts(outcome.score):
            self._learn(self.known.at_least(outcome.bound))
        self._reward(work, base, outcome.score)
        if outcome.score < base[0]:
            self.moves.graft(base[1], outcome.solution)
            if outcome.score < min(self.moves.score, self.score):
                adopt(self.board, outcome.solution)
                self.moves.score = outcome.score
            if self.moves.score < self.score:
                self._take(self.moves.score, self.board.solution())
        if outcome.proved and outcome.score.dearer == self.score.dearer:
            self.proved = True

    def _reward(self, work: str, base: tuple[Score, Solution], score: Score) -> None:
        """Remember how much the rounds of one kind bring."""
        if work in self.gains:
            gain = base[0].quality - score.quality
            if score.changes != base[0].changes:
                gain = CHANGED * (base[0].changes - score.changes)
            if (score.served, score.money) != (base[0].served, base[0].money):
                gain = SERVED
            last = self.gains[work]
            now = float(max(0, gain))
            self.gains[work] = now if last is None else RECALL * last + (1 - RECALL) * now

    def _kind(self) -> str:
        """The kind of round that brings most, and now and then another."""
        if self.score.changes:  # moves are made here between rounds
            return "model"
        if self.rng.random() < TRY:
            return self.rng.choice(list(self.gains))
        return max(self.gains, key=lambda work: SERVED if (x := self.gains[work]) is None else x)

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
            if isinstance(outcome, Bound):
                self.looking = False
                self._learn(outcome)
            elif outcome is not None:
                self._merge(which, outcome)
            if not self.proved:
                self._submit(which)

    def _submit(self, which: int) -> None:
        """Have a helper begin a round."""
        if self.executor is None or self.packed is None:
            return
        executor, packed = self.executor, self.packed

        def submit(work: Callable[..., Outcome | Bound], *rest: Any) -> None:
            self.running[which] = executor.submit(with_problem, packed, work, *rest)

        stuck = self._stuck()
        work = "whole" if stuck else self._kind()
        todo = self._round(which, work)
        try:
            if not self.looking and self._due():
                self.looking = True
                submit(bound_round, self.known, self.score.quality, ROUND, False)
            elif stuck:
                todo = replace(todo, seconds=min(self.whole, self.budget.left()))
                self.whole *= 2
                submit(whole_round, todo)
            elif work == "model":
                submit(model_round, todo)
            else:
                submit(moves_round, todo)
        except (RuntimeError, OSError, MemoryError) as error:
            self._alone(error)

    def _alone(self, error: Exception) -> None:
        """Go on without helpers."""
        self.lost = f"{type(error).__name__}: {error}"
        self.executor = None
        self.running = [None] * len(self.running)
        self.tell_lost(self.lost)

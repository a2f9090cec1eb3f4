"""Rounds of improvement: pure functions for any executor.

A round of the model takes a few batches free, everything else where it is, and
puts them back in the best way together; a round of moves does by insertion
what the search itself does. Insertion is faster; the model sees what insertion
cannot: batches that have to move at the same time.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from functools import lru_cache
from random import Random
from typing import TYPE_CHECKING

from scheduler.solve.board import Board
from scheduler.solve.construct import adopt
from scheduler.solve.improve import BACK, Improve
from scheduler.solve.index import Index
from scheduler.solve.neighbourhoods import NEIGHBOURHOODS, movable, nearest, span, worst
from scheduler.solve.objective import Score, money, some_is_free, terms

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.workload.primitives import Problem, Solution

FIRST_SIZE = 8
"""Batches free in the first round."""
GROWS = 1.15
"""How much larger the next is after one that ended with a proof."""
TOLD_SIZE, TOLD_GROWS = 16, 1.3
"""The same where people have to be told of changes: …"""
TOLD_SHARE = 0.8
"""… so much of it is what has changed places."""
HALF = 0.5
"""How often what has changed places comes before what lacks one."""
ONE_SOLVE = 3.0
"""Seconds for one solve at most."""
ONE_COUNTED = 0.3
"""CP-SAT's deterministic time for one solve at most where clocks do not count. On models of
this kind a unit of it takes 10 to 20 seconds (measured on the demo)."""


@dataclass(frozen=True, slots=True)
class Round:
    """What to do.

    Attributes
    ----------
    size : float
        Batches free at most; follows how easily solves end.
    solves : int
        Solves at most.
    seconds : float
        Time at most; in deterministic mode only `solves` counts.
    """

    solution: Solution
    seed: int
    size: float
    solves: int
    seconds: float
    deterministic: bool


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of it.

    Attributes
    ----------
    proved : bool
        Nothing better exists for these batches.
    bound : int or None
        No solution that serves as much and costs no more has less quality, as far as asked.
    """

    solution: Solution
    score: Score
    size: float
    proved: bool
    bound: int | None = None


@lru_cache(maxsize=4)  # a worker of a cluster may help with several weeks
def index_of(problem: Problem) -> Index:
    """What is known of a problem beforehand, kept from round to round."""
    return Index(problem)


def get_ready() -> None:
    """Read the model's modules, in a helper that has nothing else to do yet."""
    import scheduler.solve.cpsat.solve  # noqa: F401


def model_round(problem: Problem, todo: Round, stop: Callable[[], bool] | None = None) -> Outcome:
    """Free a few batches at a time and solve; keep what is better.

    A solve that ends with a proof makes the next one larger, one that does
    not makes it smaller; with every batch free a proof is a proof of it all.
    `stop` ends it in the middle of a solve; what was found by then counts.
    """
    from scheduler.solve.cpsat.solve import solve_model

    rng = Random(todo.seed)
    began = time.monotonic()
    board = Board(index_of(problem))
    solution, score, size = todo.solution, terms(problem, todo.solution), todo.size
    adopt(board, solution)
    everything = [b for b in range(len(problem.batches)) if b not in board.index.pinned]
    for _ in range(todo.solves):
        left = todo.seconds - (time.monotonic() - began)
        if (not todo.deterministic and left <= 0) or (stop is not None and stop()):
            break
        whole = size >= len(everything)
        free = everything if whole else _free(board, rng, int(size))
        result = solve_model(
            problem,
            hint=solution,
            free=frozenset(free),
            seconds=ONE_COUNTED if todo.deterministic else min(ONE_SOLVE, max(left, 0.2)),
            deterministic=todo.deterministic,
            workers=1,
            seed=rng.randrange(1 << 30),
            longer=False,
            stop=stop,
        )
        if result.solution is not None:
            new = terms(problem, result.solution)
            if new < score:
                solution, score = result.solution, new
                adopt(board, solution)
        if result.status == "optimal":
            if whole:
                return _proved(problem, Outcome(solution, score, size, result.proved, result.bound))
            grown = TOLD_GROWS if score.changes else GROWS
            size = min(size * grown + 0.5, float(len(everything)))
        else:
            size = max(3.0, min(size, float(len(everything))) * 0.8)
    return Outcome(solution, score, size, False)


def moves_round(problem: Problem, todo: Round) -> Outcome:
    """Moves by insertion, as the search itself makes them, none of them uphill."""
    began = time.monotonic()
    board = Board(index_of(problem))
    adopt(board, todo.solution)
    moves = Improve(board, Random(todo.seed))
    for _ in range(todo.solves):
        if time.monotonic() - began >= todo.seconds:
            break
        moves.move(0)
    return Outcome(board.solution(), moves.score, todo.size, False)


def whole_round(problem: Problem, todo: Round) -> Outcome:
    """Everything free, in one solve: for a proof where the prices of a bound lead no further."""
    from scheduler.solve.cpsat.solve import solve_model

    result = solve_model(
        problem, hint=todo.solution, seconds=todo.seconds, workers=1, seed=todo.seed, longer=False,
        free=_all_but(problem.stay, problem),
    )
    solution = result.solution or todo.solution
    proved = result.proved
    return _proved(
        problem, Outcome(solution, terms(problem, solution), todo.size, proved, result.bound)
    )


def _proved(problem: Problem, outcome: Outcome) -> Outcome:
    """With more overtime that costs nothing it might be better still: then nothing is proved."""
    if some_is_free(problem):
        return replace(outcome, proved=False, bound=None)
    return outcome


def _all_but(stay: frozenset[int], problem: Problem) -> frozenset[int] | None:
    """What moves where something stays; None: everything."""
    return frozenset(range(len(problem.batches))) - stay if stay else None


def _free(board: Board, rng: Random, size: int) -> list[int]:
    """Some batches that have to do with each other.

    If something lacks a place, around that; where people have to be told of changes, mostly of
    what has changed places, with what is around one of them: it goes back only together.
    """
    problem = board.problem
    lacking = [b for b in range(len(problem.batches)) if b not in board.placed]
    moved = [] if board.told is None else board.told.worst(board.index.pinned)
    if moved and rng.random() < (BACK if not lacking else HALF):
        seed = rng.choice(moved)
        name = rng.choice(list(NEIGHBOURHOODS))
        others = nearest(board, seed, moved)[: max(1, int(size * TOLD_SHARE))]
        out = [seed, *others, *NEIGHBOURHOODS[name](board, seed, rng)]
    elif lacking:
        seed = rng.choice(lacking)
        out = [seed, *_around(board, rng, seed)]
    else:
        places = movable(board)
        seed = worst(board, rng) if rng.random() < 0.6 else rng.choice(places)
        overtime = board.overtime
        if overtime is not None and board.score().money > money(problem):
            seed = rng.choice([b for b in places if overtime.has(b)] or [seed])
        name = rng.choice(list(NEIGHBOURHOODS))
        out = [seed, *NEIGHBOURHOODS[name](board, seed, rng)]
    return list(dict.fromkeys(out))[: max(2, size)]


def _around(board: Board, rng: Random, b: int) -> list[int]:
    """What takes from a batch without a place, and what wants the same shortly before that."""
    chain, rivals = board.index.chains[b], board.index.rivals[b]
    taken = [t for o in chain.links if o.outward and (t := board.moment(o.other)) is not None]
    by = min(taken, default=board.problem.tasks[chain.tasks[-1]].latest)
    near = [r for r in movable(board) if r in rivals and span(board, r)[0] <= by]
    near.sort(key=lambda r: (by - span(board, r)[1]) * (0.5 + rng.random()))
    consumers = [c for c in movable(board) if c in chain.neighbours]
    return [*consumers, *near] if rng.random() < 0.5 else near

"""The test that matters most: one batch with the rest fixed costs the same in both engines."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.solve.board import Board
from scheduler.solve.check import violations
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.objective import Score, terms
from scheduler.solve.ways import insert
from scheduler.workload.primitives import Plate
from tests.solve.boards import full_board
from tests.solve.problems import CHAINS, Shape, random_problem

EXACT = replace(CHAINS, adds=False, components=(2, 4), steps=(1, 3), horizon=(16, 30))
"""Chains whose costs are local: here insertion is exact."""
SHARED = replace(EXACT, ways=True, people=(2, 3))
"""And hands that may be one cook's or two's."""
THINGS = replace(EXACT, things=True, containers=False, people=(2, 3))
"""And moulds that are washed, by-products, crates."""
ANY = Shape(components=(2, 4), steps=(1, 3), horizon=(16, 30))


PAID = replace(EXACT, overtime=True, rest=True)
"""The same where people may stay longer and eat their rest."""


def both_ways(board: Board, b: int) -> tuple[int | None, int | None]:
    """The quality with one batch put back by insertion, and by the model; None: no place."""
    ours, theirs = both_scores(board, b)
    return ours and ours.quality, theirs and theirs.quality


def both_scores(board: Board, b: int) -> tuple[Score | None, Score | None]:
    """The score in both ways."""
    board.remove(b)
    without = board.solution()
    ours = terms(board.problem, board.solution()) if insert(board, b) else None
    result = solve_model(
        replace(board.problem, plates=(Plate(1, b, ((b, 1),)),), ranks=1),
        hint=without,
        free=frozenset({b}),
        seconds=20,
        deterministic=True,
        workers=1,
    )
    assert result.status == "optimal"
    assert result.solution is not None
    placed = b in result.solution.placed(board.problem)
    return ours, terms(board.problem, result.solution) if placed else None


@pytest.mark.parametrize("seed", range(120))
def test_a_chain_that_needs_no_overtime_gets_none_and_the_model_never_pays_more(seed: int) -> None:
    board = full_board(random_problem(Random(seed), PAID))
    if board is None:
        return
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        board.last_resort = True
        ours, theirs = both_scores(board, b)
        assert (ours is None) == (theirs is None)
        if ours is not None and theirs is not None:
            assert theirs <= ours
            assert violations(board.problem, board.solution()) == []
            assert board.score() == ours
        if b in board.placed:
            board.remove(b)
        assert board.place(old)


@pytest.mark.parametrize(
    ("shape", "seed"),
    [
        *((EXACT, seed) for seed in range(120)),
        *((SHARED, seed) for seed in range(80)),
        *((THINGS, seed) for seed in range(80)),
    ],
)
def test_a_chain_goes_to_the_place_the_model_proves_cheapest(shape: Shape, seed: int) -> None:
    board = full_board(random_problem(Random(seed), shape))
    if board is None:
        return
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours == theirs, f"batch {board.problem.batches[b].id}"
        if b in board.placed:
            board.remove(b)
        assert board.place(old)


@pytest.mark.parametrize(
    ("shape", "seed"),
    [
        *((ANY, seed) for seed in range(60)),
        *((replace(ANY, ways=True), s) for s in range(40)),
        *((replace(ANY, things=True, beside=True), s) for s in range(60)),
    ],
)
def test_where_insertion_is_not_exact_the_model_is_never_worse(shape: Shape, seed: int) -> None:
    board = full_board(random_problem(Random(seed), shape))
    if board is None:
        return
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours is None or (theirs is not None and theirs <= ours)
        if b in board.placed:
            board.remove(b)
        assert board.place(old)
        assert violations(board.problem, board.solution()) == []


LEFT = replace(EXACT, leaves=True, tends=False, windows=False, teams=False, people=(1, 1))
"""One cook, whose jobs may be left for short hands and breaks."""


@pytest.mark.parametrize("seed", range(100))
def test_a_job_that_may_be_left_costs_what_the_model_says(seed: int) -> None:
    board = full_board(random_problem(Random(seed), LEFT))
    if board is None:
        return
    assert violations(board.problem, board.solution()) == []
    for b in sorted(board.placed):
        old = board.recorded(b)
        if not board.problem.batches[b].fixed:
            ours, theirs = both_ways(board, b)
            tasks = board.problem.batches[b].tasks
            short = [c for c in board.problem.crews if c.task in tasks and c.leave is None]
            if len(short) < 2:
                assert ours == theirs, f"batch {board.problem.batches[b].id}"
            # Two that one job is left for together are seen only when it is dressed.
            assert ours is None or (theirs is not None and theirs <= ours)
            if b in board.placed:
                board.remove(b)
            assert board.place(old)


@pytest.mark.parametrize("seed", range(60))
def test_where_many_leave_at_once_the_model_is_never_worse(seed: int) -> None:
    board = full_board(random_problem(Random(seed), replace(ANY, leaves=True)))
    if board is None:
        return
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours is None or (theirs is not None and theirs <= ours)
        if b in board.placed:
            board.remove(b)
        assert board.place(old)
        assert violations(board.problem, board.solution()) == []

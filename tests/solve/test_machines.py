"""Doors and neighbours: insertion, the model and a search of everything agree."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.solve.check import violations
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.objective import terms
from tests.solve import brute
from tests.solve.boards import full_board
from tests.solve.problems import CHAINS, SMALL, Shape, random_problem
from tests.solve.test_insertion_and_model import both_ways

EXACT = replace(
    CHAINS, adds=False, components=(2, 5), steps=(1, 3), horizon=(16, 30), doors=True,
    neighbours=True,
)  # fmt: skip
ANY = Shape(components=(2, 4), steps=(1, 3), horizon=(16, 30), doors=True, neighbours=True)


@pytest.mark.parametrize("seed", range(120))
def test_behind_doors_and_apart_a_chain_goes_to_the_cheapest_place(seed: int) -> None:
    board = full_board(random_problem(Random(seed), EXACT))
    if board is None:
        return
    assert violations(board.problem, board.solution()) == []
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours == theirs, f"batch {board.problem.batches[b].id}"
        if b in board.placed:
            board.remove(b)
        assert board.place(old)


@pytest.mark.parametrize("seed", range(60))
def test_with_loads_behind_doors_the_model_is_never_worse(seed: int) -> None:
    board = full_board(random_problem(Random(seed), ANY))
    if board is None:
        return
    for b in sorted(board.placed):
        if board.problem.batches[b].fixed:
            continue
        old = board.recorded(b)
        ours, theirs = both_ways(board, b)
        assert ours is None or (theirs is not None and theirs <= ours)
        if b in board.placed:
            assert violations(board.problem, board.solution()) == []
            board.remove(b)
        assert board.place(old)


@pytest.mark.parametrize("seed", range(40))
def test_the_model_finds_what_trying_everything_finds(seed: int) -> None:
    problem = random_problem(Random(seed), replace(SMALL, doors=True, neighbours=True))
    try:
        best = brute.best(problem)
    except brute.TooLarge:
        return
    result = solve_model(problem, seconds=20, deterministic=True, workers=1)
    if best is None:
        assert result.status == "infeasible"
        return
    assert result.solution is not None
    assert violations(problem, result.solution) == []
    assert terms(problem, result.solution) == best

"""Insertion: what it places is allowed, and a chain goes to its cheapest place."""

from __future__ import annotations

from random import Random

import pytest

from scheduler.solve.check import violations
from scheduler.solve.improve import Improve
from scheduler.solve.objective import terms
from tests.solve.boards import full_board
from tests.solve.problems import random_problem


@pytest.mark.parametrize("seed", range(120))
def test_a_first_plan_never_double_books_anybody_or_anything(seed: int) -> None:
    problem = random_problem(Random(seed))
    board = full_board(problem)
    if board is not None:
        assert violations(problem, board.solution()) == []


@pytest.mark.parametrize("seed", range(60))
def test_improving_never_loses_what_is_served_and_never_breaks_a_rule(seed: int) -> None:
    problem = random_problem(Random(seed))
    board = full_board(problem)
    if board is None:
        return
    last = terms(problem, board.solution())
    moves = iter(range(60))
    search = Improve(board, Random(2))
    for score, solution in search.run(lambda: 0.5, lambda: next(moves, None) is None):
        assert score < last
        assert terms(problem, solution) == score
        assert violations(problem, solution) == []
        last = score


@pytest.mark.parametrize("seed", range(60))
def test_taking_a_batch_off_and_putting_it_back_leaves_the_kitchen_as_it_was(seed: int) -> None:
    problem = random_problem(Random(seed))
    board = full_board(problem)
    if board is None:
        return
    before = board.solution()
    used, busy = board.used.copy(), board.busy.copy()
    for b in sorted(board.placed):
        assert board.place(board.remove(b))
    assert board.solution() == before
    assert (board.used == used).all()
    assert (board.busy == busy).all()

"""Insertion: what it places is allowed, and a chain goes to its cheapest place."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.solve.check import violations
from scheduler.solve.construct import construct
from scheduler.solve.housing import Housing
from scheduler.solve.improve import Improve
from scheduler.solve.index import Index
from scheduler.solve.objective import terms
from scheduler.workload.primitives import Choice, Option, Resource
from tests.solve.boards import full_board
from tests.solve.problems import random_problem
from tests.solve.shapes import CHAINS
from tests.solve.small import change, tasks, whole


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


def test_what_may_not_lie_beside_the_fish_goes_to_the_other_fridge_at_the_same_time() -> None:
    two = change(change(tasks(6, 4), 0, earliest=5, latest=11), 1, earliest=6, latest=10)
    week = replace(
        two,
        resources=(Resource("fish fridge", 3), Resource("other fridge", 3)),
        choices=(Choice(0, (Option(0),)), Choice(1, (Option(0), Option(1)))),
        uses=(replace(whole(0, 0), sort=1, not_beside=2), replace(whole(1, 1), sort=2)),
    )
    board = construct(Index(week), Random(1))
    assert board.times == {0: (5, 11), 1: (6, 10)}
    assert board.chosen[1] == 1


@pytest.mark.parametrize("seed", range(80))
def test_ovens_that_are_worked_out_together_give_the_plan_that_each_by_itself_gives(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    problem = random_problem(Random(seed), CHAINS if seed % 2 else None)
    together = full_board(problem)
    monkeypatch.setattr(Housing, "_own", lambda self, needs: True)
    alone = full_board(problem)
    assert (together is None) == (alone is None)
    if together is not None and alone is not None:
        assert together.solution() == alone.solution()

"""Everything at once: ways, leaving, breaks, overtime, doors, cleaning, moulds, calm."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.solve.board import Board
from scheduler.solve.bound import Bound, bound_round
from scheduler.solve.budget import Budget
from scheduler.solve.check import violations
from scheduler.solve.construct import construct, drop_hopeless, paid
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.improve import Improve
from scheduler.solve.index import Index
from scheduler.solve.objective import Score, terms
from scheduler.solve.room import make_room
from scheduler.solve.ways import insert
from scheduler.workload.primitives import Problem, Solution
from tests.solve.boards import full_board
from tests.solve.problems import random_problem
from tests.solve.shapes import EVERYTHING


def sound(board: Board) -> bool:
    """No rule is broken (but that something lacks its inputs), and the count is right."""
    solution = board.solution()
    found = violations(board.problem, solution)
    assert [line for line in found if "is there without" not in line] == []
    assert board.score() == terms(board.problem, solution)
    return True


@pytest.mark.parametrize("seed", range(60))
def test_whatever_is_put_on_and_taken_off_the_board_is_sound_and_as_it_was(seed: int) -> None:
    rng = Random(seed)
    board = full_board(random_problem(rng, EVERYTHING))
    if board is None:
        return
    assert sound(board)
    problem, used, busy = board.problem, board.used.copy(), board.busy.copy()
    movable = [b for b in sorted(board.placed) if not problem.batches[b].fixed]
    before = board.solution()
    some = rng.sample(movable, rng.randint(1, len(movable))) if movable else []
    olds = [board.remove(b) for b in some if b in board.placed] + paid(board)
    assert sound(board)
    for b in rng.sample(some, len(some)):
        board.last_resort = rng.random() < 0.5
        insert(board, b)
        assert sound(board)
    board.last_resort = False
    with board.restoring(before.cleans):
        for old in olds:
            if old.batch in board.placed:
                board.remove(old.batch)
        for old in olds:
            assert board.place(old)
    assert board.solution() == before
    assert (board.used == used).all() and (board.busy == busy).all()
    assert sound(board)
    moves = iter(range(20))
    for score, solution in Improve(board, Random(3)).run(
        lambda: 0.5, lambda: next(moves, None) is None
    ):
        assert violations(problem, solution) == []
        assert score == terms(problem, solution)


@pytest.mark.parametrize("seed", range(20))
def test_the_model_takes_the_board_as_a_hint_and_no_bound_passes_what_it_finds(seed: int) -> None:
    problem = random_problem(Random(1000 + seed), EVERYTHING)
    board = full_board(problem)
    if board is None:
        return
    hint = board.solution()
    found = solve_model(problem, hint=hint, seconds=3, deterministic=True, workers=1)
    assert found.refused == ()
    assert found.solution is not None
    assert violations(problem, found.solution) == []
    score = terms(problem, found.solution)
    assert (found.served, found.money, found.quality) == (score.served, score.money, score.quality)
    local = replace(problem, calm=None)
    assert terms(local, found.solution) <= terms(local, hint)
    if not any(score.served):
        below = bound_round(problem, Bound(), score.quality, 1.0, True).value
        assert below is None or below <= terms(local, found.solution).quality


@pytest.mark.parametrize("seed", range(40))
def test_what_is_told_while_room_is_made_gets_better_and_is_what_remains(seed: int) -> None:
    """Also what is on the way: no plan with overtime is told after one that does without."""
    problem = random_problem(Random(seed), replace(EVERYTHING, components=(3, 5), people=(1, 2)))
    board = construct(Index(problem), Random(1))
    drop_hopeless(board)
    told: list[Score] = [board.score()]

    def heard(found: Solution) -> None:
        assert violations(problem, found) == [] or not whole(problem, found)
        told.append(terms(problem, found))

    make_room(board, Random(1), Budget(5, True, lambda: False), 1.0, heard, lambda: True)
    assert told == sorted(told, reverse=True)
    assert board.score() == told[-1]


def whole(problem: Problem, found: Solution) -> bool:
    """Everything that is fixed is there."""
    placed = found.placed(problem)
    return all(b in placed for b, batch in enumerate(problem.batches) if batch.fixed)

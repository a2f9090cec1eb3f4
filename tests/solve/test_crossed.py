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
from scheduler.solve.objective import Score, money, terms
from scheduler.solve.room import make_room
from scheduler.solve.ways import insert
from scheduler.workload.primitives import (
    Band,
    Batch,
    Crew,
    Extra,
    Leave,
    Line,
    Link,
    Money,
    Plate,
    Point,
    Problem,
    Solution,
    Task,
    Way,
)
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
    if Bound(cheapest=money(problem)).counts(score):
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


def test_overtime_within_the_allowance_may_be_in_the_best_plan() -> None:
    """Ten minutes nearer to service than the shift allows, for nothing."""
    problem = Problem(
        grid=10, horizon=20, now=0,
        batches=(Batch("plate", (0,)), Batch("service", (1,), fixed=True)),
        tasks=(Task("plate", 0, 1, 1, 0, 20), Task("service", 1, 0, 0, 15, 15)),
        links=(Link(Point(0, True), Point(1), 0, 9, Band(0, 0, 1)),),
        people=(("ana", ((0, 14),)),),
        crews=(Crew(0, (Way((Line((0,)),)),)),),
        extras=(Extra(0, 12, 14),),
        money=Money(free=10), plates=(Plate(1, 0, ((0, 1),)),),
    )  # fmt: skip
    best = solve_model(problem, seconds=5, deterministic=True, workers=1)
    assert (best.status, best.money, best.quality) == ("optimal", 0, 20)
    assert (bound_round(problem, Bound(), 30, 1.0, True).value or 0) <= 20
    paid = replace(problem, money=Money())
    assert bound_round(paid, Bound(), 30, 1.0, True).value == 30


def test_the_model_counts_overtime_also_where_a_job_may_be_left() -> None:
    """Two jobs of an hour fit the shift of two; one of them lies behind it."""
    problem = Problem(
        grid=5, horizon=60, now=0,
        batches=(Batch("one", (0,)), Batch("other", (1,))),
        tasks=tuple(Task(f"t{n}", n, 12, 13, 0, 60) for n in (0, 1)),
        people=(("ana", ((0, 36),)),),
        crews=tuple(Crew(n, (Way((Line((0,)),), 12),), Leave(1, 1, 1)) for n in (0, 1)),
        extras=(Extra(0, 24, 36),),
        money=Money(),
    )  # fmt: skip
    behind = Solution({0: (0, 12), 1: (24, 36)}, crews={0: (0,), 1: (0,)})
    found = solve_model(problem, hint=behind, seconds=5, deterministic=True, workers=1)
    assert (found.status, found.money) == ("optimal", 0)

"""What only whole solutions cost: the board keeps count, and nobody proves what it cannot."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from scheduler.solve.bound import Bound, bound_round
from scheduler.solve.calm import Hectic, hectic, person
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.improve import Improve
from scheduler.solve.objective import parts, terms
from scheduler.workload.primitives import Calm, Job, Shift
from tests.solve.boards import full_board
from tests.solve.problems import random_problem
from tests.solve.shapes import Shape

CALM = Shape(components=(2, 4), steps=(1, 3), horizon=(16, 30), people=(2, 3), calm=True)
CLEANED = replace(CALM, cleaning=True)
SCOURED = replace(CLEANED, scoured=True)
DAY = (Shift(0, 480, 300),)
FISH, MEAT, CAKE = Job(1, 0, True), Job(2, 0, True), Job(3, 1, True)


def calm(**rates: int) -> Calm:
    return Calm((DAY,), (), (), (), **rates)


def cost(rates: Calm, *work: tuple[int, int, Job]) -> Hectic:
    return person(rates, DAY, work)


def test_three_hours_of_piping_begun_at_the_end_of_a_shift_are_hectic() -> None:
    late = calm(late=7, long=60, last=60)
    assert cost(late, (421, 481, CAKE)) == Hectic(calm=7)
    assert cost(late, (420, 480, CAKE)) == Hectic()


def test_a_short_visit_at_the_end_of_a_shift_is_where_it_belongs() -> None:
    rates = calm(late=7, section=5, change=3, short=20, ends=30)
    assert cost(rates, (60, 200, FISH), (465, 480, CAKE)) == Hectic()
    assert cost(rates, (60, 200, FISH), (400, 415, CAKE)) == Hectic(calm=8)


def test_moving_a_cook_there_and_back_is_two_moves() -> None:
    assert cost(calm(section=5), (0, 60, FISH), (60, 90, CAKE), (90, 120, MEAT)).calm == 10
    passed_over = Job(9, -1)
    assert cost(calm(section=5), (0, 60, FISH), (60, 90, passed_over), (90, 99, MEAT)).calm == 0


def test_only_changes_of_job_beyond_the_free_ones_count() -> None:
    work = ((0, 60, FISH), (60, 90, MEAT), (90, 120, FISH), (120, 150, FISH))
    assert cost(calm(change=3, free=1), *work).calm == 3


def test_minutes_over_the_part_of_the_day_count_once_where_work_overlaps() -> None:
    assert cost(calm(over=2), (0, 200, FISH), (100, 110, CAKE), (200, 310, MEAT)).over == 20


def test_work_belongs_to_the_last_shift_that_starts_before_it_ends() -> None:
    two = (Shift(0, 480, 0), Shift(1440, 1920, None))
    assert person(calm(over=1), two, [(480, 510, FISH), (1440, 1500, FISH)]).over == 30


@pytest.mark.parametrize("shape", [CALM, CLEANED, SCOURED], ids=["calm", "cleaned", "scoured"])
@pytest.mark.parametrize("seed", range(60))
def test_the_board_never_loses_count_of_what_is_hectic(seed: int, shape: Shape) -> None:
    problem = random_problem(Random(seed), shape)
    board = full_board(problem)
    if board is None:
        return
    assert board.score() == terms(problem, board.solution())
    moves = iter(range(40))
    search = Improve(board, Random(3))
    for score, solution in search.run(lambda: 0.5, lambda: next(moves, None) is None):
        assert score == terms(problem, solution)
    assert board.score() == terms(problem, board.solution())
    for b in sorted(board.placed):
        assert board.place(board.remove(b))
        assert board.score() == terms(problem, board.solution())



@pytest.mark.parametrize("seed", range(40))
def test_a_bound_stays_a_bound_and_an_optimum_of_the_model_is_no_proof(seed: int) -> None:
    problem = random_problem(Random(seed), CALM)
    board = full_board(problem)
    if board is None or any(board.score().served):
        return
    found = solve_model(problem, hint=board.solution(), seconds=20, deterministic=True, workers=1)
    assert found.solution is not None and found.quality is not None
    assert found.quality == parts(problem, found.solution).quality
    assert found.bound is not None and found.bound <= found.quality
    wild = hectic(problem, found.solution)
    if found.status == "optimal" and wild != Hectic():
        assert found.proved == (found.quality == found.bound)
    below = bound_round(problem, Bound(), found.quality, 1.0, True).value
    assert below is None or below <= found.quality
    additive = solve_model(
        replace(problem, calm=None), seconds=20, deterministic=True, workers=1
    )
    assert additive.quality is not None and below is not None and below <= additive.quality

"""The band of money: overtime and buying in, in the kitchen's steps."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

from scheduler.solve.board import Board, Placement
from scheduler.solve.budget import Budget
from scheduler.solve.check import violations
from scheduler.solve.construct import construct
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.improve import Improve
from scheduler.solve.index import Index
from scheduler.solve.objective import Score, extras, terms
from scheduler.solve.room import make_room
from scheduler.solve.ways import insert
from scheduler.workload.primitives import (
    Batch,
    Crew,
    Extra,
    Line,
    Money,
    Plate,
    Problem,
    Solution,
    Task,
    Used,
    Way,
)


def job(start: int, end: int, money: Money | None = None, spent: int = 0) -> Problem:
    """One job at a given time; its cook's shift ends at 10, and may begin at 2 instead of 4."""
    return Problem(
        grid=5,
        horizon=20,
        now=0,
        batches=(Batch("job", (0,), fixed=True),),
        tasks=(Task("job", 0, end - start, end - start, start, end),),
        people=(("ana", ((2, 14),)),),
        crews=(Crew(0, (Way((Line((0,)),)),)),),
        extras=(Extra(0, 2, 4, False), Extra(0, 10, 14)),
        money=money,
        spent=spent,
    )


def scored(problem: Problem) -> Score:
    board = Board(Index(problem))
    board.last_resort = True
    assert insert(board, 0)
    assert terms(problem, board.solution()) == board.score()
    return board.score()


def test_an_idle_half_hour_before_the_last_job_is_overtime_as_well() -> None:
    problem = job(12, 13)
    board = Board(Index(problem))
    board.last_resort = True
    assert insert(board, 0)
    assert extras(problem, board.solution()) == Used(overtime=3)
    assert scored(problem).money == 0
    board.remove(0)
    assert board.score().money == 0


def test_coming_early_counts_from_the_first_job_to_the_start_of_the_shift() -> None:
    problem = job(2, 6)
    board = Board(Index(problem))
    board.last_resort = True
    assert insert(board, 0)
    assert extras(problem, board.solution()) == Used(overtime=2)


def test_overtime_costs_beyond_the_allowance_and_in_begun_steps() -> None:
    """15 minutes at 40 an hour are 10."""
    assert scored(job(12, 13, Money(hour=40))).money == 10
    assert scored(job(12, 13, Money(hour=40, step=4))).money == 3
    assert scored(job(12, 13, Money(free=10, hour=40, step=4))).money == 1
    assert scored(job(12, 13, Money(free=15, hour=40))).money == 0
    assert scored(job(5, 8, Money(hour=40))).money == 0


def test_buying_in_costs_beyond_what_is_free() -> None:
    assert scored(job(5, 8, Money(budget=30, step=20), spent=30)).money == 0
    assert scored(job(5, 8, Money(budget=30, step=20), spent=31)).money == 1
    assert scored(job(12, 13, Money(hour=40, budget=30, step=20), spent=45)).money == 2


def closing(jobs: int, **more: Any) -> Problem:
    """Jobs of an hour for one cook whose shift of two hours may get an hour longer."""
    return Problem(
        grid=5,
        horizon=60,
        now=0,
        batches=tuple(Batch(f"job-{n}", (n,)) for n in range(jobs)),
        tasks=tuple(Task(f"job-{n}", n, 12, 12, 0, 60) for n in range(jobs)),
        people=(("ana", ((0, 36),)),),
        crews=tuple(Crew(n, (Way((Line((0,)),)),)) for n in range(jobs)),
        extras=(Extra(0, 24, 36),),
        money=Money(**more),
    )


def test_nobody_stays_longer_for_what_fits_into_the_shift() -> None:
    problem = closing(2)
    board = construct(Index(problem), Random(1))
    make_room(board, Random(1), Budget(10, True, lambda: False), 1.0, lambda *_: None)
    assert board.score() == Score((0, 0), 0, 0)


def test_a_third_job_is_done_in_overtime_rather_than_not_at_all() -> None:
    problem = closing(3)
    board = construct(Index(problem), Random(1))
    assert board.score().served == (0, 1)
    told: list[Score] = []
    make_room(
        board, Random(1), Budget(10, True, lambda: False), 1.0,
        lambda found: told.append(terms(problem, found)),
    )  # fmt: skip
    assert board.score() == Score((0, 0), 60, 0) == told[-1]
    assert violations(problem, board.solution()) == []


def test_what_was_done_in_overtime_for_no_reason_moves_into_the_shift() -> None:
    problem = closing(2)
    board = Board(Index(problem))
    for n, start in ((0, 0), (1, 24)):
        times = {n: (start, start + 12)}
        assert board.place(Placement(n, times, crews={n: (0,)}))
    moves = Improve(board, Random(1))
    assert moves.score.money == 60
    for _ in range(30):
        moves.move(0)
    assert moves.score.money == 0


def test_a_round_of_the_model_saves_overtime_before_it_looks_at_quality() -> None:
    problem = closing(2)
    solution = Solution({0: (0, 12), 1: (24, 36)}, {}, {0: (0,), 1: (0,)})
    result = solve_model(problem, hint=solution, seconds=5, workers=1)
    assert (result.status, result.money) == ("optimal", 0)


def test_overtime_inside_the_allowance_is_no_reason_to_leave_anything_out() -> None:
    problem = closing(3, free=60)
    result = solve_model(problem, seconds=5, workers=1)
    assert (result.status, result.served, result.money) == ("optimal", (0, 0), 0)


# -- rest that is eaten ----------------------------------------------------------------


def early(jobs: int, *, people: int = 1, **more: Any) -> Problem:
    """Jobs of 40 minutes for cooks whose shift of two hours begins with an hour of rest.

    In the rest there is a break of a quarter of an hour, twenty minutes from its start.
    """
    cooks = tuple((name, ((0, 4), (7, 24))) for name in ("ana", "ben")[:people])
    return Problem(
        grid=5,
        horizon=60,
        now=0,
        batches=tuple(Batch(f"job-{n}", (n,)) for n in range(jobs)),
        tasks=tuple(Task(f"job-{n}", n, 8, 8, 0, 60) for n in range(jobs)),
        people=cooks,
        crews=tuple(Crew(n, (Way((Line(tuple(range(people))),)),)) for n in range(jobs)),
        extras=tuple(Extra(p, 0, 12, at_end=False, rest=True) for p in range(people)),
        plates=tuple(Plate(1, n, ((n, 1),)) for n in range(jobs)),
        money=Money(**more),
    )


def roomy(problem: Problem) -> Board:
    board = construct(Index(problem), Random(1))
    make_room(board, Random(1), Budget(10, True, lambda: False), 1.0, lambda *_: None)
    assert violations(problem, board.solution()) == []
    assert terms(problem, board.solution()) == board.score()
    return board


def test_no_overtime_allowance_pays_for_rest() -> None:
    """Two jobs of 40 minutes and an hour of the shift left: 20 minutes are eaten."""
    board = roomy(early(2, free=600, rest_hour=60))
    assert board.score() == Score((0, 0), 20, 0)
    assert board.extended == Used(rest=4)
    assert roomy(early(2, rest_hour=60, step=15)).score().money == 2


def test_insertion_and_the_model_eat_as_much_rest_and_no_more_than_is_needed() -> None:
    """A third job has no place: before the break there is too little room."""
    for jobs, expected in (
        (1, Score((0, 0), 0, 0)), (2, Score((0, 0), 20, 0)), (3, Score((1, 1), 20, 0))
    ):  # fmt: skip
        result = solve_model(early(jobs), seconds=5, workers=1)
        assert (result.status, result.served, result.money) == (
            "optimal", expected.served, expected.money,
        )  # fmt: skip
        assert roomy(early(jobs)).score() == expected


def test_nobody_eats_their_rest_where_other_hands_are_free() -> None:
    problem = early(2, people=2)
    assert roomy(problem).score() == Score((0, 0), 0, 0)
    assert solve_model(problem, seconds=5, workers=1).money == 0


def test_overtime_comes_before_rest() -> None:
    """A place there is by an hour of overtime as well."""
    problem = early(2)
    longer = replace(
        problem,
        people=(("ana", ((0, 4), (7, 34))),),
        extras=(*problem.extras, Extra(0, 24, 34)),
        money=Money(hour=60, rest_hour=60),
    )
    board = construct(Index(longer), Random(1))
    board.last_resort = True
    for b in (0, 1):
        assert b in board.placed or insert(board, b)
    assert board.extended == Used(overtime=10)


def test_rest_eaten_for_no_reason_is_given_back() -> None:
    problem = early(1)
    board = Board(Index(problem))
    assert board.place(Placement(0, {0: (8, 16)}, crews={0: (0,)}))
    moves = Improve(board, Random(1))
    assert moves.score.money == 20
    for _ in range(30):
        moves.move(0)
    assert moves.score.money == 0


def test_a_plan_may_not_trade_overtime_for_rest_at_the_same_price() -> None:
    assert not Used(rest=1).within(Used(overtime=4))
    assert Used(overtime=3).within(Used(overtime=4))

"""The band of money: overtime and buying in, in the kitchen's steps."""

from __future__ import annotations

from scheduler.solve.board import Board
from scheduler.solve.index import Index
from scheduler.solve.objective import Score, overtime, terms
from scheduler.solve.ways import insert
from scheduler.workload.primitives import Batch, Crew, Extra, Line, Money, Problem, Task


def job(start: int, end: int, money: Money | None = None, spent: int = 0) -> Problem:
    """One job at a given time; its cook's shift ends at 10, and may begin at 2 instead of 4."""
    return Problem(
        grid=5,
        horizon=20,
        now=0,
        batches=(Batch("job", (0,), fixed=True),),
        tasks=(Task("job", 0, end - start, end - start, start, end),),
        people=(("ana", ((2, 14),)),),
        crews=(Crew(0, (Line((0,)),)),),
        extras=(Extra(0, 2, 4, False), Extra(0, 10, 14)),
        money=money,
        spent=spent,
    )


def scored(problem: Problem) -> Score:
    board = Board(Index(problem))
    assert insert(board, 0)
    assert terms(problem, board.solution()) == board.score()
    return board.score()


def test_an_idle_half_hour_before_the_last_job_is_overtime_as_well() -> None:
    problem = job(12, 13)
    board = Board(Index(problem))
    assert insert(board, 0)
    assert overtime(problem, board.solution()) == 3
    assert scored(problem).money == 0
    board.remove(0)
    assert board.score().money == 0


def test_coming_early_counts_from_the_first_job_to_the_start_of_the_shift() -> None:
    problem = job(2, 6)
    board = Board(Index(problem))
    assert insert(board, 0)
    assert overtime(problem, board.solution()) == 2


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

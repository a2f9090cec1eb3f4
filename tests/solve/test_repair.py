"""Making room for what has no place: who has to make way, and that nothing is broken by it."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.solve.board import Board, Placement
from scheduler.solve.check import violations
from scheduler.solve.construct import construct, drop_hopeless, shortfall
from scheduler.solve.ejection import Ejection, make_way
from scheduler.solve.frame import frame
from scheduler.solve.index import Index
from scheduler.solve.objective import terms
from scheduler.solve.prices import Prices, toll
from scheduler.solve.repair import Repair
from scheduler.workload.primitives import (
    Batch,
    Choice,
    Link,
    Option,
    Point,
    Problem,
    Resource,
    Task,
    Use,
)
from tests.solve.problems import Shape, random_problem
from tests.solve.small import tasks

FULL = Shape(components=(3, 5), dishes=(2, 3), people=(1, 2), horizon=(40, 60))

interval = st.tuples(st.integers(-5, 25), st.integers(1, 12), st.integers(1, 9)).map(
    lambda x: (x[0], x[0] + x[1], x[2])
)


@given(st.lists(interval, max_size=8), st.integers(0, 19), st.integers(1, 20))
def test_the_price_of_a_place_is_that_of_everybody_it_would_turn_out(
    taken: list[tuple[int, int, int]], start: int, length: int
) -> None:
    end = min(start + length, 20)
    entered, left = toll(taken, 0, 21)
    crossed = sum(price for a, b, price in taken if a < end and b > start)
    if start < end:
        assert entered[end] - left[start] == crossed


def one_mixer(*windows: tuple[int, int, int]) -> Problem:
    """Batches that want the one mixer: (length, earliest, latest)."""
    problem = tasks(*(length for length, _, _ in windows))
    return Problem(
        problem.grid, problem.horizon, 0, problem.batches,
        tuple(Task(f"t{t}", t, n, n, a, b) for t, (n, a, b) in enumerate(windows)),
        resources=(Resource("mixer", 1),),
        choices=tuple(Choice(b, (Option(0),)) for b in range(len(windows))),
        uses=tuple(Use(t, t, 1, Point(t), Point(t, True)) for t in range(len(windows))),
    )  # fmt: skip


def mixed(index: Index, *starts: tuple[int, int]) -> Board:
    """Batches at these starts."""
    board = Board(index)
    for b, start in starts:
        length = index.problem.tasks[b].least
        assert board.place(Placement(b, {b: (start, start + length)}, {b: 0}))
    return board


def test_the_batch_that_has_been_easy_to_place_makes_way_not_the_hard_one() -> None:
    index = Index(one_mixer((4, 0, 20), (4, 0, 20), (6, 0, 12)))
    board = mixed(index, (0, 0), (1, 8))
    prices = Prices(board, fails=(9, 0, 0))
    placement = Ejection(Board(index), index.chains[2], prices).placement()
    assert placement is not None and placement.times[2][0] >= 4
    out = make_way(board, placement, prices)
    assert out is not None and [old.batch for old in out] == [1]
    assert board.placed == {0, 2}


def test_who_may_not_be_asked_stays_and_the_board_is_as_it_was() -> None:
    index = Index(one_mixer((4, 0, 20), (4, 0, 20), (6, 0, 12)))
    board = mixed(index, (0, 0), (1, 8))
    before = board.solution(), board.used.copy()
    prices = Prices(board, fails=(0, 0, 0), rigid={0, 1})
    assert make_way(board, Placement(2, {2: (3, 9)}, {2: 0}), prices) is None
    assert board.solution() == before[0] and np.array_equal(board.used, before[1])


def test_a_batch_with_one_place_gets_it_and_the_other_moves() -> None:
    problem = one_mixer((10, 0, 20), (10, 0, 10))
    board = mixed(Index(problem), (0, 5))
    assert list(Repair(board, Random(1)).run(20, lambda: False))
    assert board.times == {0: (10, 20), 1: (0, 10)}
    assert violations(problem, board.solution()) == []


def test_what_does_not_fit_at_all_is_left_out_and_nothing_is_placed_late() -> None:
    problem = one_mixer((10, 0, 20), (10, 0, 20), (10, 0, 20))
    board = construct(Index(problem), Random(1))
    assert not list(Repair(board, Random(1)).run(200, lambda: False))
    assert len(board.placed) == 2
    assert violations(problem, board.solution()) == []


@pytest.mark.parametrize("seed", range(60))
def test_repair_never_breaks_a_rule_and_never_ends_with_less(seed: int) -> None:
    problem = random_problem(Random(seed), FULL)
    board = construct(Index(problem), Random(seed))
    drop_hopeless(board)
    before = shortfall(board)
    unmanned = violations(problem, board.solution())  # duties that nobody can stand
    seen = [before, *Repair(board, Random(seed)).run(40, lambda: False)]
    assert seen == sorted(seen, reverse=True)
    assert shortfall(board) == seen[-1]
    drop_hopeless(board)  # what only fed what is left out
    assert shortfall(board)[:-1] == seen[-1][:-1]
    assert violations(problem, board.solution()) == unmanned


@pytest.mark.parametrize("seed", range(30))
def test_what_the_board_says_it_costs_is_what_its_plan_costs(seed: int) -> None:
    problem = random_problem(Random(seed), FULL)
    board = construct(Index(problem), Random(seed))
    rng = Random(seed)
    for _ in range(12):
        assert board.score() == terms(problem, board.solution())
        movable = [b for b in sorted(board.placed) if not problem.batches[b].fixed]
        if movable:
            old = board.remove(rng.choice(movable))
            if rng.random() < 0.5:
                board.place(old)


def test_loads_that_cannot_follow_each_other_in_time_have_no_place_and_nobody_makes_way() -> None:
    # The last must begin 2 ticks after the first has ended, and the one between takes 5.
    three = tasks(3, 5, 3, 4)
    problem = replace(
        three,
        batches=(Batch("loads", (0, 1, 2)), Batch("other", (3,))),
        tasks=tuple(replace(t, batch=int(n == 3)) for n, t in enumerate(three.tasks)),
        links=(Link(Point(0, True), Point(2), None, 2),),
    )
    index = Index(problem)
    board = Board(index)
    assert frame(board, index.chains[0], None) is None
    assert board.place(Placement(1, {3: (0, 4)}))
    assert not list(Repair(board, Random(1)).run(20, lambda: False))
    assert board.times == {3: (0, 4)}

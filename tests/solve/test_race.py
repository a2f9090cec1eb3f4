"""Helpers that make room beside: their luck is taken up, their loss costs nothing."""

from __future__ import annotations

from concurrent.futures import BrokenExecutor, Executor, Future
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from scheduler.solve.budget import Budget
from scheduler.solve.check import violations
from scheduler.solve.construct import adopt
from scheduler.solve.index import Index
from scheduler.solve.objective import Score, terms
from scheduler.solve.race import TURNS, Race, fresh_round, room_round
from scheduler.solve.room import make_room
from scheduler.solve.rounds import Outcome, Round
from tests.solve.boards import full_board
from tests.solve.problems import random_problem
from tests.solve.test_repair import mixed, one_mixer
from tests.solve.test_search import Dying

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.workload.primitives import Problem, Solution


class AtOnce(Executor):
    """A helper that has answered when it is asked."""

    def __init__(self) -> None:
        self.asked = 0

    def submit(self, work: Callable[..., Any], /, *rest: Any, **more: Any) -> Future[Any]:
        self.asked += 1
        future: Future[Any] = Future()
        future.set_result(work(*rest, **more))
        return future


def blocked() -> tuple[Problem, Solution]:
    """A batch with one place, and another that stands in it."""
    problem = one_mixer((10, 0, 20), (10, 0, 10))
    return problem, mixed(Index(problem), (0, 5)).solution()


def test_a_helper_makes_room_as_the_search_itself_does() -> None:
    problem, start = blocked()
    outcome = room_round(problem, Round(start, 1, 0, 0, 1.0, False))
    assert outcome.score == terms(problem, outcome.solution) < terms(problem, start)
    assert not any(outcome.score.served)
    assert violations(problem, outcome.solution) == []


def test_a_helper_who_is_first_ends_the_making_of_room_here() -> None:
    problem, start = blocked()
    board = mixed(Index(problem), (0, 5))
    helper = AtOnce()
    race = Race(problem, start, Random(1), helper, 1)
    budget = Budget(30, False, lambda: False)
    make_room(board, Random(1), budget, 1.0, race.found, beaten=race.beaten)
    assert race.complete
    assert helper.asked == 1, "nothing is left to be asked"
    adopt(board, race.best)
    assert violations(problem, board.solution()) == []


@pytest.mark.parametrize("asked", [True, False])
def test_a_helper_that_is_lost_is_not_asked_again_and_room_is_made_all_the_same(
    asked: bool,
) -> None:
    problem, start = blocked()
    board = mixed(Index(problem), (0, 5))
    race = Race(problem, start, Random(1), Dying(BrokenExecutor("killed"), asked=asked), 1)
    budget = Budget(30, False, lambda: False)
    make_room(board, Random(1), budget, 1.0, race.found, beaten=race.beaten)
    assert not race.beaten() or race.complete
    assert race.lost or not race.running
    assert not any(terms(problem, board.solution()).served)


def test_a_helper_with_a_first_plan_of_its_own_leaves_nothing_wrong_in_it() -> None:
    for seed in range(40):
        problem = random_problem(Random(seed))
        board = full_board(problem)
        if board is None:
            continue
        outcome = fresh_round(problem, Round(board.solution(), seed, 0, 0, 0.1, False))
        assert outcome.score == terms(problem, outcome.solution)
        assert violations(problem, outcome.solution) == []


class Never(AtOnce):
    """Helpers that never find room; notes what they were asked."""

    def __init__(self) -> None:
        super().__init__()
        self.work: list[object] = []

    def submit(self, work: Callable[..., Any], /, *rest: Any, **more: Any) -> Future[Any]:
        _, what, todo = rest
        self.work.append(what)
        future: Future[Any] = Future()
        future.set_result(Outcome(todo.solution, Score((9,), 0, 0), 0, False))
        return future


@pytest.mark.parametrize(("fresh", "first"), [(True, fresh_round), (False, room_round)])
def test_what_finds_no_room_is_tried_from_another_first_plan_but_never_where_a_plan_broke(
    fresh: bool, first: object
) -> None:
    problem, start = blocked()
    helper = Never()
    race = Race(problem, start, Random(1), helper, 1, fresh)
    for _ in range(TURNS + 2):
        assert not race.beaten()
    line = [first] + [room_round] * (TURNS - 1)
    assert helper.work[: TURNS + 1] == [*line, first if fresh else room_round]

"""The search: what it takes up is sound and never worse, whatever becomes of its helpers."""

from __future__ import annotations

from concurrent.futures import BrokenExecutor, Executor, Future, ThreadPoolExecutor
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from scheduler.solve.budget import Budget
from scheduler.solve.check import violations
from scheduler.solve.construct import adopt
from scheduler.solve.improve import Improve
from scheduler.solve.neighbourhoods import NEIGHBOURHOODS, movable, worst
from scheduler.solve.objective import terms
from scheduler.solve.rounds import Outcome, Round, model_round, moves_round
from scheduler.solve.search import Search
from tests.solve.boards import full_board
from tests.solve.problems import random_problem

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.solve.board import Board
    from scheduler.solve.objective import Score
    from scheduler.workload.primitives import Problem, Solution


def board_of(seed: int) -> Board:
    board = full_board(random_problem(Random(seed)))
    if board is None or not movable(board):
        pytest.skip("nothing can be moved there")
    return board


SEEDS = [s for s in range(60) if (b := full_board(random_problem(Random(s)))) and movable(b)][:20]


@pytest.mark.parametrize("name", NEIGHBOURHOODS)
@pytest.mark.parametrize("seed", SEEDS[:8])
def test_what_is_taken_off_together_is_there_and_may_move(name: str, seed: int) -> None:
    board = board_of(seed)
    first = worst(board, Random(1))
    near = NEIGHBOURHOODS[name](board, first, Random(2))
    assert set(near) <= set(movable(board))
    assert len(near) == len(set(near))
    assert near == NEIGHBOURHOODS[name](board, first, Random(2))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_round_of_the_model_is_sound_and_never_worse_and_always_the_same(seed: int) -> None:
    board = board_of(seed)
    problem, before = board.problem, board.solution()
    todo = Round(before, seed, 3.0, 3, 5.0, True)
    outcome = model_round(problem, todo)
    assert violations(problem, outcome.solution) == []
    assert outcome.score == terms(problem, outcome.solution) <= terms(problem, before)
    assert model_round(problem, todo) == outcome


@pytest.mark.parametrize("seed", SEEDS[:5])
def test_a_board_takes_up_another_plan_whole(seed: int) -> None:
    board = board_of(seed)
    outcome = model_round(board.problem, Round(board.solution(), 1, 99.0, 2, 5.0, True))
    adopt(board, outcome.solution)
    assert board.score() == outcome.score
    ours, theirs = board.solution(), outcome.solution
    assert (ours.times, ours.crews, ours.tends) == (theirs.times, theirs.crews, theirs.tends)
    assert violations(board.problem, ours) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_a_helpers_moves_break_no_rule_and_lose_nothing(seed: int) -> None:
    board = board_of(seed)
    outcome = moves_round(board.problem, Round(board.solution(), seed, 8.0, 20, 5.0, False))
    assert outcome.score == terms(board.problem, outcome.solution) <= board.score()
    assert violations(board.problem, outcome.solution) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_helper_found_is_kept_beside_what_was_found_here(seed: int) -> None:
    board = board_of(seed)
    base = board.solution()
    outcome = moves_round(board.problem, Round(base, 100 + seed, 8.0, 20, 5.0, False))
    here = Improve(board, Random(seed))
    for _ in range(10):
        here.move(0)
    before = board.score(), board.solution()
    if here.graft(base, outcome.solution):
        assert board.score() < before[0]
    else:
        assert (board.score(), board.solution()) == before
    assert here.score == board.score() == terms(board.problem, board.solution())
    assert violations(board.problem, board.solution()) == []


def test_what_a_helper_found_is_taken_up_whole_where_nothing_has_changed_here() -> None:
    better = 0
    for seed in SEEDS:
        board = board_of(seed)
        base = board.solution()
        outcome = model_round(board.problem, Round(base, 1, 99.0, 2, 5.0, True))
        if outcome.score < board.score():
            better += 1
            assert Improve(board, Random(1)).graft(base, outcome.solution)
            assert board.score() <= outcome.score
    assert better, "no seed had anything to take up"


class Dying(Executor):
    """Helpers that are gone as soon as they are asked, or cannot even be asked."""

    def __init__(self, error: Exception | None = None, *, asked: bool = True) -> None:
        self.error = error or BrokenExecutor("killed")
        self.asked = asked

    def submit(self, *_: Any, **__: Any) -> Future[Any]:
        if not self.asked:
            raise self.error
        future: Future[Any] = Future()
        future.set_exception(self.error)
        return future


def searched(
    seed: int, executor: Executor | None, deterministic: bool, seconds: float = 1.0
) -> Search:
    board = board_of(seed)
    scores: list[Score] = [board.score()]

    def better(score: Score, solution: Solution) -> None:
        assert score < scores[-1]
        assert violations(board.problem, solution) == []
        scores.append(score)

    budget = Budget(seconds, deterministic, lambda: False)
    search = Search(board, Random(3), budget, executor, 1, better)
    search.run()
    assert terms(board.problem, search.solution) == search.score == scores[-1]
    return search


def test_a_plan_that_comes_out_alike_takes_about_the_time_it_was_given(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A round of the model counts as a second, and is one solve."""

    def slow(problem: Problem, todo: Round, stop: Callable[[], bool]) -> Outcome:
        rounds.append(todo)
        return Outcome(todo.solution, terms(problem, todo.solution), todo.size, False)

    rounds: list[Round] = []
    monkeypatch.setattr("scheduler.solve.search.model_round", slow)
    monkeypatch.setattr("scheduler.solve.search.Search._turn_of_bound", lambda self, turn: None)
    search = searched(SEEDS[0], None, True, seconds=6.0)
    assert search.budget.used() >= 1
    assert [todo.solves for todo in rounds] == [1] * 4  # after half a second of moves each


@pytest.mark.parametrize("seed", SEEDS[:3])
def test_a_helper_that_dies_costs_nothing_but_its_round(seed: int) -> None:
    search = searched(seed, Dying(), False)
    assert search.lost is not None
    assert "killed" in search.lost


@pytest.mark.parametrize("asked", [True, False])
@pytest.mark.parametrize(
    "error",
    [MemoryError(), OSError(12, "Cannot allocate memory"), BrokenExecutor("gone"), RuntimeError()],
    ids=lambda error: type(error).__name__,
)
def test_however_a_helper_is_lost_it_is_told_at_once_and_the_search_goes_on(
    error: Exception, asked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    def again(*_: Any) -> None:
        raise AssertionError("what ended the helper was tried where the plan is")

    monkeypatch.setattr("scheduler.solve.search.model_round", again)
    board = board_of(SEEDS[0])
    told: list[float] = []
    budget = Budget(0.5, False, lambda: False)
    executor = Dying(error, asked=asked)
    search = Search(board, Random(3), budget, executor, 2, lambda *_: None)
    search.tell_lost = lambda what: told.append(budget.used())
    search.run()
    assert len(told) == 1
    assert told[0] < 0.5 <= budget.used()
    assert violations(board.problem, search.solution) == []


@pytest.mark.parametrize("seed", SEEDS[:3])
def test_rounds_beside_the_moves_are_taken_up_as_they_come(seed: int) -> None:
    with ThreadPoolExecutor(1) as executor:
        search = searched(seed, executor, False)
    assert search.lost is None
    assert search.proved, "a tiny week is proved in a second"


@pytest.mark.parametrize("seed", SEEDS[:5])
def test_without_a_clock_two_searches_end_alike(seed: int) -> None:
    one, other = searched(seed, None, True), searched(seed, None, True)
    assert one.solution == other.solution

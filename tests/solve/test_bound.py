"""The bound: never above what a plan costs, whatever the prices; met where nothing is shared."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import cache
from random import Random
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.solve import search as search_module
from scheduler.solve.bound import Bound, bound_round, up_to_step
from scheduler.solve.budget import Budget
from scheduler.solve.check import violations
from scheduler.solve.index import Index
from scheduler.solve.objective import Score, terms
from scheduler.solve.relax.dual import Dual
from scheduler.solve.relax.network import SCALE
from scheduler.solve.relax.relations import Hopeless
from scheduler.solve.rounds import Round, whole_round
from scheduler.solve.search import Search
from scheduler.workload.compile import compile_week
from scheduler.workload.primitives import Band
from scheduler.workload.work import work_out
from tests.bench.planted import planted
from tests.solve.boards import full_board
from tests.solve.brute import TooLarge, best
from tests.solve.problems import CHAINS, SMALL, Shape, problems, random_problem
from tests.solve.small import tasks

if TYPE_CHECKING:
    from scheduler.workload.primitives import Problem

LEFT = replace(SMALL, leaves=True, people=(1, 2), components=(2, 2))
SHAPES = (SMALL, CHAINS, Shape(), replace(SMALL, ways=True, people=(2, 3)), LEFT)
FREE = Shape(
    components=(1, 2), dishes=(1, 1), crews=False, teams=False, tends=False, windows=False,
    adds=False, ovens=False, choices=False, containers=False, holds=False, loads=False,
    lags=False, duties=False, now=0,
)  # fmt: skip
"""Nothing that two batches could want at once."""


def whole(problem: Problem) -> frozenset[int]:
    """Every batch that is not fixed."""
    return frozenset(b for b, batch in enumerate(problem.batches) if not batch.fixed)


def optimum(problem: Problem) -> int | None:
    """The least quality of a solution that holds everything, by trying everything.

    None where there is none, and for the few problems with too much to try.
    """
    try:
        score = best(problem, 60_000, whole(problem))
    except TooLarge:
        return None
    return None if score is None or score.served[-1] else score.quality


def found(problem: Problem) -> int | None:
    """The quality of some solution that holds everything, by insertion."""
    board = full_board(problem)
    if board is None or any(board.score().served):
        return None
    assert violations(problem, board.solution()) == []
    return terms(problem, board.solution()).quality


@pytest.mark.parametrize("seed", range(120))
def test_no_bound_passes_the_best_plan_there_is(seed: int) -> None:
    problem = random_problem(Random(seed), SHAPES[seed % 5])
    least = optimum(problem)
    bound = bound_round(problem, Bound(), 1000 if least is None else least, 60, True).value
    if least is not None:
        assert bound is not None, "a week that works was called hopeless"
        assert bound <= least


@pytest.mark.parametrize("seed", range(60))
def test_where_nothing_is_shared_the_bound_is_the_best_plan(seed: int) -> None:
    problem = random_problem(Random(seed), FREE)
    least = optimum(problem)
    if least is not None:
        assert bound_round(problem, Bound(), least + 1, 60, True).value == least


LARGER = Shape(components=(1, 5), steps=(1, 3), horizon=(16, 40))


@settings(max_examples=200, deadline=None)
@given(
    st.one_of(
        problems(LARGER),
        problems(replace(LARGER, ways=True)),
        problems(replace(LARGER, leaves=True)),
    ),
    st.randoms(),
)
def test_no_prices_whatever_lift_the_bound_over_a_plan(problem: Problem, rng: Any) -> None:
    value = found(problem)
    if value is None:
        return
    dual = Dual(Index(problem))
    for size in (0.1, 3.0, 1000.0, 1e12):
        prices = [rng.choice((0.0, rng.uniform(-size, size))) for _ in range(dual.size)]
        assert dual.answer(np.array(prices)).value <= value * SCALE


@cache
def week(tight: bool, seed: int) -> tuple[Problem, int]:
    """A planted week and what its hidden plan costs."""
    hidden = planted(60, tight, seed)
    problem = compile_week(hidden.scenario, work_out(hidden.scenario)).problem
    return problem, hidden.plan.terms.quality


@pytest.mark.parametrize("tight", [False, True])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_no_bound_passes_a_hidden_plan_and_none_ever_falls(seed: int, tight: bool) -> None:
    problem, hidden = week(tight, seed)
    known, before = Bound(), 0
    for _ in range(4):
        known = bound_round(problem, known, hidden, 60, True)
        assert known.value is not None
        assert before <= known.value <= hidden
        before = known.value


def test_the_same_rounds_find_the_same_bound() -> None:
    problem, hidden = week(True, 1)
    one, other = (bound_round(problem, Bound(), hidden, 60, True) for _ in range(2))
    assert one.value == other.value
    assert one.ascent is not None
    assert other.ascent is not None
    assert np.array_equal(one.ascent.prices, other.ascent.prices)


def test_what_cannot_be_served_whole_has_no_bound() -> None:
    one = tasks(8, 8, horizon=10)
    late = replace(one, tasks=tuple(replace(t, earliest=5) for t in one.tasks))
    assert bound_round(late, Bound(), 100, 60, True).value is None
    with pytest.raises(Hopeless):
        Dual(Index(late))


def test_a_bound_is_rounded_up_to_what_a_plan_can_cost() -> None:
    one = tasks(2)
    problem = replace(one, tasks=(replace(one.tasks[0], stretch=Band(10, 30, 3)),))
    # 5 minutes a tick, threefold: 15, 30, 45 …
    assert [up_to_step(problem, v) for v in (0, 1, 15, 16)] == [0, 15, 15, 30]
    odd = replace(one, tasks=(replace(one.tasks[0], stretch=Band(0, 12, 1)),))
    assert up_to_step(odd, 7) == 7
    assert up_to_step(one, 7) == 7


def test_a_bound_counts_only_for_plans_that_leave_nothing_out() -> None:
    known = Bound(40, None, 1.0)
    assert known.below(Score((0, 0), 0, 50)) == 40
    assert known.below(Score((1, 0), 0, 50)) is None
    assert known.below(Score((0, 1), 0, 50)) is None
    assert known.reached(Score((0, 0), 0, 40))
    assert not known.reached(Score((1, 0), 0, 30))
    assert not Bound().due(Score((1, 0), 0, 30), 10, 2)


def test_a_bound_proves_nothing_while_overtime_could_still_be_saved() -> None:
    known = Bound(40, None, 1.0)
    assert not known.reached(Score((0, 0), 1, 40))
    assert known.below(Score((0, 0), 1, 40)) == 40
    assert replace(known, cheapest=1).reached(Score((0, 0), 1, 40))


def test_a_week_whose_bound_is_met_is_proved_and_stops_early() -> None:
    hidden = planted(60, False, 1)
    problem = compile_week(hidden.scenario, work_out(hidden.scenario)).problem
    board = full_board(problem)
    assert board is not None
    told: list[int] = []
    budget = Budget(600, True, lambda: False)
    search = Search(board, Random(1), budget, None, 0, lambda *_: None, told.append)
    search.run()
    assert search.proved
    assert budget.used() < 0.5
    assert told == sorted(told)
    assert search.bound == search.score.quality


@pytest.mark.parametrize("seed", range(20))
def test_a_whole_round_of_the_model_bounds_what_it_does_not_prove(seed: int) -> None:
    board = full_board(random_problem(Random(seed)))
    if board is None:
        return
    before = board.score()
    todo = Round(board.solution(), seed, 8.0, 1, 10.0, False)
    outcome = whole_round(board.problem, todo)
    assert violations(board.problem, outcome.solution) == []
    assert outcome.score <= before
    if outcome.proved:
        assert outcome.bound == outcome.score.quality
        if not any(outcome.score.served):
            ours = bound_round(board.problem, Bound(), outcome.score.quality, 60, True).value
            assert ours is not None
            assert ours <= outcome.score.quality


def test_helpers_bring_a_bound_and_it_counts() -> None:
    problem, _ = week(False, 2)
    board = full_board(problem)
    assert board is not None
    told: list[int] = []
    budget = Budget(60, False, lambda: False)
    with ThreadPoolExecutor(1) as pool:
        search = Search(board, Random(1), budget, pool, 1, lambda *_: None, told.append)
        search.run()
    assert search.proved
    assert search.bound == search.score.quality
    assert told
    assert budget.used() < 0.5


def test_a_broken_plan_is_not_kept_waiting_by_a_bound_that_nobody_asks_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    problem, _ = week(False, 2)
    board = full_board(problem)
    assert board is not None
    looked: list[object] = []

    def looking(_: object, known: Bound, *rest: object) -> Bound:
        looked.append(rest)
        return known.let_be()

    monkeypatch.setattr(search_module, "bound_round", looking)
    budget = Budget(600, True, lambda: False)
    for bounded, asked in ((None, 0), (lambda _: None, 1)):
        Search(board, Random(1), budget, None, 0, lambda *_: None, bounded).run(0.1)
        assert len(looked) == asked

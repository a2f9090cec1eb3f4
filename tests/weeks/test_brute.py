"""Tiny weeks against a search that tries everything."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from random import Random
from typing import TYPE_CHECKING

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.solve.check import violations
from scheduler.solve.construct import construct, drop_hopeless
from scheduler.solve.engine import plan_week
from scheduler.solve.improve import Improve
from scheduler.solve.index import Index
from scheduler.solve.objective import terms
from tests.weeks.brute import Best, best
from tests.weeks.checks import key_of, model_key, problem_of
from tests.weeks.tiny_random import shared_week, single_chain, tiny_week

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan, Taken
    from scheduler.workload.primitives import Problem

SHARED = range(1000, 1060, 2)
WEEKS = [*range(0, 120, 2), *SHARED]
CHAINS = range(0, 60, 2)


@cache
def tried(seed: int) -> tuple[Scenario, Best]:
    week = shared_week if seed in SHARED else tiny_week
    scenario = scenario_of(week(Random(seed)))
    return scenario, best(scenario)


@cache
def tried_chain(seed: int) -> tuple[Scenario, Best]:
    scenario = scenario_of(single_chain(Random(seed)))
    return scenario, best(scenario)


@pytest.mark.parametrize("seed", WEEKS)
def test_the_best_week_by_trying_everything_is_one_the_second_reader_passes(seed: int) -> None:
    _, found = tried(seed)
    assert found.refused == [], "the audit and the search read the week differently"


@pytest.mark.parametrize("seed", WEEKS)
def test_the_model_serves_as_many_and_holds_as_little_as_trying_everything(seed: int) -> None:
    scenario, found = tried(seed)
    assert model_key(problem_of(scenario)) == found.key


def inserted(problem: Problem, moves: int) -> tuple[tuple[int, ...], int]:
    """What insertion comes to without the model, with so many moves of improvement."""
    board = construct(Index(problem), Random(1))
    drop_hopeless(board)
    search = Improve(board, Random(1))
    for _ in range(moves):
        search.move(0)
    assert violations(problem, board.solution()) == []
    score = terms(problem, board.solution())
    return score.served, score.quality


@pytest.mark.parametrize("seed", WEEKS)
def test_no_plan_is_better_than_trying_everything(seed: int) -> None:
    """Insertion and improvement; better than the best there is would be a lie."""
    scenario, found = tried(seed)
    assert inserted(problem_of(scenario), 40) >= found.key


@pytest.mark.parametrize("seed", WEEKS)
def test_a_whole_run_on_a_tiny_week_ends_at_the_best_there_is(seed: int) -> None:
    scenario, found = tried(seed)
    assert key_of(plan_week(scenario, seconds=3, deterministic=True)) == found.key


@pytest.mark.parametrize("seed", CHAINS)
def test_one_chain_alone_is_put_in_its_best_place_at_once(seed: int) -> None:
    """Insertion is exact here: nothing is improved and nothing polished."""
    scenario, found = tried_chain(seed)
    problem = problem_of(scenario)
    assert inserted(problem, 0) == found.key
    assert model_key(problem) == found.key


def overlapping(plan: Plan, unit: str) -> bool:
    """Do two tasks share a unit at some moment?"""
    taken: list[Taken] = [t for task in plan.tasks for t in task.taken if t.unit == unit]
    taken.sort(key=lambda t: t.start)
    return any(b.start < a.end for a, b in pairwise(taken))


def test_between_them_the_tiny_weeks_use_what_is_hard() -> None:
    """Ranges, what the food decides, holds on shelves, tending, adding, a shared oven, loads and
    waves, containers, machines of several sizes, and weeks in which something has no place."""
    plans = [found.plan for _, found in map(tried, WEEKS)]
    weeks = [scenario for scenario, _ in map(tried, WEEKS)]
    steps = [s for w in weeks for c in w.components for s in c.steps]
    tasks = [t for p in plans for t in p.tasks]
    visits = [v for t in tasks for v in t.visits]
    holds = [h for p in plans for h in p.holds if h.end > h.start]
    units = {x.unit for t in tasks for x in t.taken}
    used = {
        "stretched": any(s.time.at_most and s.time.at_most > s.time.at_least for s in steps),
        "food decides": any(s.time.decides.value == "it" for s in steps),
        "container": any(n.until for s in steps for n in s.on),
        "day parts": any(t.day_parts for s in steps for t in s.tend),
        "every so often": any(t.every for s in steps for t in s.tend),
        "fresh within": any(t.within for w in weeks for d in w.dishes for t in d.takes),
        "shared oven": any(overlapping(p, "oven") for p in plans),
        "loads": any(t.loads > 1 for t in tasks),
        "waves": any(s.waves for s in steps),
        "sizes": {"small", "large"} <= units,
        "tended": any(v.kind == "tend" for v in visits),
        "added": any(v.kind == "add" for v in visits),
        "a crew of two": any(len(v.people) > 1 for v in visits),
        "in its machine": any(h.unit for h in holds),
        "plated ahead": any(h.kind == "plated" for h in holds),
        "missing": any(p.missing for p in plans),
        "complete": sum(not p.missing for p in plans) > len(plans) // 2,
    }
    for kind in ("wait", "share", "loads"):
        used[f"{kind} on shelves"] = any(h.kind == kind and h.store for h in holds)
    assert [name for name, there in used.items() if not there] == []

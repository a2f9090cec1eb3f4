"""An early last end: every schedule is sound, no step makes it later, no bound says too much."""

from __future__ import annotations

import time
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.solve.check import violations
from scheduler.solve.cpsat.solve import solve_model
from scheduler.solve.finish import solve_finish
from scheduler.solve.justify import Builder, Network, network_of
from scheduler.solve.lists import Lists
from scheduler.workload.primitives import Problem, Solution
from tests.published.projects import Activity, Project, problem_of, shop_of


@st.composite
def projects(draw: st.DrawFn, most: int = 12) -> Project:
    """Activities of 0 to 6 ticks on two resources, some after others, some a while after."""
    capacities = (draw(st.integers(1, 5)), draw(st.integers(1, 5)))
    count = draw(st.integers(1, most))
    acts = []
    for n in range(count):
        duration = draw(st.integers(0, 6))
        demands = tuple(draw(st.integers(0, c)) for c in capacities)
        later = draw(st.sets(st.integers(n + 1, count), max_size=2))
        lags = tuple((j, duration + draw(st.integers(0, 2))) for j in sorted(later) if j < count)
        acts.append(Activity(duration, demands, lags))
    return Project("drawn", capacities, tuple(acts))


def network(problem: Problem) -> Network:
    found = network_of(problem)
    assert found is not None
    return found


def solution(problem: Problem, net: Network, starts: list[int]) -> Solution:
    times = {t: (s, s + d) for t, s, d in zip(net.tasks, starts, net.lengths, strict=True)}
    return Solution(times, {c: 0 for c in range(len(problem.choices))})


def in_some_order(net: Network, seed: int) -> list[int]:
    rng, left, order = Random(seed), set(range(len(net.lengths))), []
    while left:
        j = rng.choice([j for j in sorted(left) if all(i not in left for i, _ in net.before[j])])
        left.remove(j)
        order.append(j)
    return order


@settings(max_examples=200, deadline=None)
@given(projects(), st.integers(0, 1000), st.booleans())
def test_a_schedule_by_any_list_is_sound_and_pushing_it_both_ways_makes_it_no_later(
    project: Project, seed: int, apart: bool
) -> None:
    problem = problem_of(project, apart)
    net = network(problem)
    builder = Builder(net)
    starts = builder.forward(in_some_order(net, seed))
    end = builder.finish(starts)
    for _ in range(3):
        assert violations(problem, solution(problem, net, starts), partial=False) == []
        assert net.least <= builder.finish(starts) <= end
        end = builder.finish(starts)
        starts = builder.justified(starts)


@settings(max_examples=40, deadline=None)
@given(projects(), st.integers(0, 1000))
def test_lists_stay_sound_and_only_get_better(project: Project, seed: int) -> None:
    problem = problem_of(project)
    net = network(problem)
    lists = Lists(Builder(net), seed)
    for many in (100, 400, 800):
        before = lists.finish
        lists.run(lambda many=many: lists.builder.made > many)  # type: ignore[misc]
        assert lists.finish <= before
        assert violations(problem, solution(problem, net, lists.best), partial=False) == []


@settings(max_examples=25, deadline=None)
@given(projects(7))
def test_the_least_finish_is_never_later_than_the_best_schedule(project: Project) -> None:
    problem = problem_of(project)
    best = solve_model(problem, may_omit=False, seconds=10, deterministic=True)
    assert best.status == "optimal"
    assert best.quality is not None
    assert network(problem).least <= best.quality
    found = solve_finish(problem, seconds=10)
    assert (found.status, found.quality, found.refused) == ("optimal", best.quality, ())
    assert found.solution is not None
    assert violations(problem, found.solution, partial=False) == []


def test_a_profile_grows_where_a_schedule_is_longer_than_thought() -> None:
    acts = (Activity(3, (1,), ((1, 400),)), Activity(2, (1,)), Activity(5, (1,), ((0, 5),)))
    problem = problem_of(Project("long", (1,), acts))
    net = network(problem)
    vars(net)["least"] = 0
    builder = Builder(net)
    starts = builder.forward(in_some_order(net, 1))
    assert builder.finish(starts) == 5 + 400 + 2
    assert violations(problem, solution(problem, net, starts), partial=False) == []


def test_the_lists_hear_of_what_the_model_finds() -> None:
    rng = Random(3)
    acts = tuple(Activity(rng.randint(1, 9), (rng.randint(1, 4),)) for _ in range(30))
    problem = problem_of(Project("heard", (5,), acts))
    net = network(problem)
    lists = Lists(Builder(net))
    better = solve_model(problem, may_omit=False, seconds=5, deterministic=True).solution
    assert better is not None
    starts = [better.times[t][0] for t in net.tasks]
    lists.meet(starts)
    assert lists.finish <= lists.builder.finish(starts)


# What is more than a network goes to the model: a maximum lag, a wait shorter than the activity,
# a store that is filled and emptied.
MORE = [
    Project("most", (2,), (Activity(3, (2,), ((1, 2),)), Activity(4, (2,), ((0, -4),)))),
    Project("early", (2,), (Activity(3, (1,), ((1, 1),)), Activity(4, (1,)))),
    Project(
        "store", (2,), (Activity(3, (1,), (), (0,), (2,)), Activity(4, (1,), (), (3,), (0,))), (1,)
    ),
]


@pytest.mark.parametrize("project", MORE, ids=[p.name for p in MORE])
def test_what_is_more_than_a_network_is_left_to_the_model(project: Project) -> None:
    problem = problem_of(project)
    assert network_of(problem) is None
    found = solve_finish(problem, seconds=10)
    known = solve_model(problem, may_omit=False, seconds=10, deterministic=True)
    assert (found.status, found.quality) == (known.status, known.quality)


def test_what_asks_for_more_than_there_is_has_no_place() -> None:
    problem = problem_of(Project("much", (2,), (Activity(3, (3,)),)))
    assert network_of(problem) is None
    assert solve_finish(problem, seconds=10).status == "infeasible"


def hard() -> list[Problem]:
    """A project for the lists and a job shop for the model: neither is proved in a second."""
    rng = Random(5)
    acts = tuple(
        Activity(d, (rng.randint(1, 7), rng.randint(1, 7)), ((n + 12, d),) if n < 78 else ())
        for n in range(90)
        for d in [rng.randint(1, 10)]
    )
    machines = [rng.sample(range(12), 12) for _ in range(15)]
    lengths = [[rng.randint(1, 99) for _ in row] for row in machines]
    return [problem_of(Project("hard", (11, 11), acts)), shop_of("shop", lengths, machines)]


@pytest.mark.parametrize("which", [0, 1], ids=["project", "shop"])
@pytest.mark.parametrize("wall", [True, False])
def test_a_hard_one_gives_a_sound_schedule_by_either_clock(which: int, wall: bool) -> None:
    problem = hard()[which]
    assert network_of(problem) is not None
    clock = time.monotonic if wall else time.process_time
    found = solve_finish(problem, seconds=1.0, clock=clock)
    assert found.status in ("feasible", "optimal")
    assert found.solution is not None
    assert violations(problem, found.solution, partial=False) == []
    assert found.bound is not None
    assert found.quality is not None
    assert found.bound <= found.quality

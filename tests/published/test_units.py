"""Published instances go the way a kitchen's week goes: no unit of the model is theirs alone."""

from __future__ import annotations

import pytest

from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_scenario
from scheduler.solve.cpsat.build import build
from scheduler.solve.cpsat.encoding import FIRST, SECOND, Encoding
from scheduler.solve.cpsat.scope import scope_of
from scheduler.workload.compile import compile_week
from scheduler.workload.primitives import Problem
from scheduler.workload.work import work_out
from tests.published.projects import Activity, Project, problem_of, shop_of


def units(problem: Problem, encoding: Encoding) -> set[str]:
    return build(scope_of(problem, None, None, False), encoding).units


def published() -> list[Problem]:
    """One of each family: resources, lags, stores, a shop."""
    acts = (
        Activity(3, (2, 1), ((1, 2),), (0,), (2,)),
        Activity(4, (1, 2), ((0, -6),), (2,), (0,)),
        Activity(2, (2, 2)),
    )
    plain = tuple(Activity(a.duration, a.demands, a.after) for a in acts)
    return [
        problem_of(Project("lags", (3, 3), plain)),
        problem_of(
            Project("stores", (3, 3), (*acts[:2], Activity(2, (2, 2), (), (0,), (0,))), (1,))
        ),
        problem_of(Project("apart", (3, 3), plain), apart=True),
        shop_of("shop", [[3, 2], [2, 4]], [[0, 1], [1, 0]]),
    ]


@pytest.mark.parametrize("encoding", [FIRST, SECOND], ids=["first", "second"])
def test_published_instances_use_no_unit_that_a_kitchen_does_not(encoding: Encoding) -> None:
    scenario = read_scenario(find_scenario("first-week"))
    kitchen = compile_week(scenario, work_out(scenario)).problem
    theirs = set().union(*(units(problem, encoding) for problem in published()))
    assert theirs == {"capacity", "lengths", "links", "uses"}
    assert theirs <= units(kitchen, encoding)

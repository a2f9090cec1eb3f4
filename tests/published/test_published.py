"""A sample of the published instances; all of them: `python -m tests.bench published`."""

from __future__ import annotations

import pytest

from scheduler.solve.cpsat.solve import solve_model
from tests.bench.published import Row, sample
from tests.published.instances import ABSENT, SHOPS, folder, instances
from tests.published.verdict import judge

pytestmark = pytest.mark.skipif(folder() is None, reason=ABSENT)

# Deterministic time for each instance, and how many of a hundred are decided in it at least.
DECIDED = {"rcpsp": (2.0, 85), "rcpsp-max": (2.0, 95), "rcpsp-cpr": (2.0, 95), SHOPS: (0.5, 20)}


@pytest.mark.parametrize("family", DECIDED)
def test_nothing_contradicts_what_is_published(family: str) -> None:
    row = Row(family)
    seconds, decided = DECIDED[family]
    for instance in sample(i for i in instances() if i.family == family):
        problem = instance.problem()
        result = solve_model(problem, may_omit=False, seconds=seconds, deterministic=True)
        row.add(instance, judge(instance, problem, result), result.seconds)
    assert row.wrong == []
    assert row.count > 0
    assert 100 * row.proved >= decided * row.count

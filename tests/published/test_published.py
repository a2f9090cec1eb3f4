"""A sample of the published instances; all of them: `python -m tests.bench published`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import pytest

from scheduler.solve.cpsat.solve import solve_model
from tests.bench.published_table import Tally
from tests.published.instances import ABSENT, SHOPS, Instance, folder, instances
from tests.published.verdict import judge

pytestmark = pytest.mark.skipif(folder() is None, reason=ABSENT)

SAMPLE = {
    "j30": 40,
    "j60": 12,
    "j90": 24,
    "j120": 60,
    "j10": 18,
    "j20": 18,
    "ubo10": 9,
    "ubo20": 9,
    "KSD15_d_ConsProd": 40,
    "BL_ConsProd": 8,
    "ft": 1,
    "la": 4,
    "orb": 5,
    "abz": 3,
    "swv": 20,
    "yn": 4,
    "ta": 40,
}
"""Every so manieth of each set makes the sample."""

# Deterministic time for each instance, and how many of a hundred are decided in it at least.
DECIDED = {"rcpsp": (2.0, 85), "rcpsp-max": (2.0, 95), "rcpsp-cpr": (2.0, 95), SHOPS: (0.5, 20)}


def sample(known: Iterable[Instance]) -> Iterator[Instance]:
    seen: dict[str, int] = {}
    for instance in known:
        n = seen[instance.group] = seen.get(instance.group, -1) + 1
        if n % SAMPLE.get(instance.group, 10) == 0:
            yield instance


@pytest.mark.parametrize("family", DECIDED)
def test_nothing_contradicts_what_is_published(family: str) -> None:
    tally = Tally(family)
    seconds, decided = DECIDED[family]
    for instance in sample(i for i in instances() if i.family == family):
        problem = instance.problem()
        result = solve_model(problem, may_omit=False, seconds=seconds, deterministic=True)
        tally.add(instance, judge(instance, problem, result), result.seconds)
    assert tally.wrong == []
    assert tally.count > 0
    assert 100 * tally.proved >= decided * tally.count

"""Believable weeks by the hundred: every plan passes the second reader, and most are complete."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from tests.weeks.checks import read_again
from tests.weeks.generate import generate, weeks
from tests.weeks.kinds import KINDS

pytestmark = pytest.mark.xdist_group("weeks")
WEEKS = 200
PART = 20
"""So many weeks a test, so that several processes can share them."""
AT_LEAST = 0.6
"""So many of them get a complete plan."""


def complete(scenario: Scenario, seconds: float) -> bool:
    """Whatever is told on the way is VALID with the terms it claims; True if the plan is SERVED."""
    return not read_again(scenario, seconds).unserved


@settings(
    max_examples=60, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
@given(scenario=weeks())
def test_no_week_gets_a_plan_that_breaks_a_rule(scenario: Scenario) -> None:
    complete(scenario, 0.05)


@pytest.mark.parametrize("seed", range(12))
def test_a_week_stopped_at_once_still_has_a_plan_that_passes(seed: int) -> None:
    plan = read_again(scenario_of(generate(Random(seed))), 5, stop=lambda: True)
    assert plan.tasks


@pytest.mark.parametrize("seed", [1109, 1163, 1347, 1401])
def test_a_week_that_once_got_worse_while_it_was_repaired(seed: int) -> None:
    """More batches placed can be fewer portions served; and what is fed by nothing is not told."""
    complete(scenario_of(generate(Random(seed))), 0.05)


@cache
def of_part(first: int) -> list[int]:
    """Which weeks of a part get a complete plan."""
    return [
        seed
        for seed in range(first, first + PART)
        if complete(scenario_of(generate(Random(seed))), 2.2)
    ]


@pytest.mark.parametrize("first", range(0, WEEKS, PART))
def test_every_plan_of_a_fixed_week_passes(first: int) -> None:
    of_part(first)


def test_most_weeks_get_a_complete_plan() -> None:
    """Counted over all of them, in whatever process this test runs."""
    served = [seed for first in range(0, WEEKS, PART) for seed in of_part(first)]
    share = len(served) / WEEKS
    print(f"{len(served)} of {WEEKS} weeks complete: {share:.0%}")
    assert share >= AT_LEAST, f"only {len(served)} of {WEEKS} weeks are complete"


def test_between_them_the_weeks_know_every_kind_of_prep() -> None:
    scenarios = [scenario_of(generate(Random(seed))) for seed in range(WEEKS)]
    steps = [s for w in scenarios for c in w.components for s in c.steps]
    components = [c for w in scenarios for c in w.components]
    courses = [c for w in scenarios for e in w.week.events for c in e.menu]
    used = {
        "tending": any(s.tend for s in steps),
        "adding": any(s.add for s in steps),
        "the food decides": any(s.time.decides.value == "it" for s in steps),
        "loads": any(s.in_loads for s in steps),
        "containers": any(n.until for s in steps for n in s.on),
        "ovens": any(n.setting for s in steps for n in s.on),
        "sub-components": any(t.component for s in steps for t in s.takes),
        "ingredients": any(t.ingredient for s in steps for t in s.takes),
        "losses": any(c.loss.part for c in components),
        "diets": any(c.diets for c in courses),
        "waves": any(c.waves for c in courses),
        "crew meals": any(c.crew for c in courses),
        "plated ahead": any(d.keeps for w in scenarios for d in w.dishes),
        "duties": any(w.kitchen.duties for w in scenarios),
        "on hand": any(w.week.on_hand for w in scenarios),
        "in progress": any(w.week.in_progress for w in scenarios),
        "deliveries": any(w.week.deliveries for w in scenarios),
        "several events": any(len(w.week.events) > 1 for w in scenarios),
        "ranks": any(e.rank > 1 for w in scenarios for e in w.week.events),
        "days off": any(p.off for w in scenarios for p in w.kitchen.people),
    }
    assert [name for name, there in used.items() if not there] == []
    assert len(KINDS) == 11

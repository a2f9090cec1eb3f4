"""Believable weeks by the hundred: every plan passes the second reader, and most are complete."""

from __future__ import annotations

from functools import cache
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.solve.engine import plan_week
from tests.weeks.generate import generate, weeks
from tests.weeks.kinds import KINDS

pytestmark = pytest.mark.xdist_group("weeks")
WEEKS = 200
PART = 20
"""So many weeks a test, so that several processes can share them."""
AT_LEAST = 0.6
"""So many of them get a complete plan."""


def complete(scenario: Scenario, seconds: float) -> bool:
    """Plan a week; whatever is told on the way is VALID with the terms it claims.

    True if the plan is SERVED as well.
    """
    keys = []

    def read_again(event: dict[str, Any]) -> None:
        plan: Plan = event["plan"]
        report = audit(scenario, plan)
        assert report.valid, [event["kind"], *(str(f) for f in report.findings)]
        assert report.terms == plan.terms
        assert report.served == (not plan.unserved)
        keys.append(plan.terms.key())

    plan = plan_week(scenario, seconds=seconds, deterministic=True, workers=1, tell=read_again)
    assert keys == sorted(keys, reverse=True), "a plan told later is worse"
    assert plan.terms.key() == keys[-1]
    return not plan.unserved


@settings(
    max_examples=60, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
@given(scenario=weeks())
def test_no_week_gets_a_plan_that_breaks_a_rule(scenario: Scenario) -> None:
    complete(scenario, 0.05)


@cache
def of_part(first: int) -> list[int]:
    """Which weeks of a part get a complete plan."""
    return [
        seed
        for seed in range(first, first + PART)
        if complete(scenario_of(generate(Random(seed))), 0.2)
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

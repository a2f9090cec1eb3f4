"""The demo with less than it needs: rules are kept, with an honest word for what is missing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_scenario, scenario_of
from scheduler.plan.audit import audit
from scheduler.solve.engine import plan_week

Document = dict[str, Any]


def half_the_walk_in(week: Document) -> None:
    next(s for s in week["kitchen"]["stores"] if s["id"] == "walk-in")["shelves"] //= 2


def one_stone(week: Document) -> None:
    stones = next(k for k in week["kitchen"]["equipment"] if k["id"] == "stone")
    stones["units"] = 1
    week["week"]["wishes"] = [w for w in week["week"]["wishes"] if w.get("unit") != "stone-2"]


@pytest.mark.parametrize(("loss", "enough"), [(half_the_walk_in, False), (one_stone, None)])
def test_what_is_lost_makes_no_wrong_plan_and_half_a_walk_in_does_not_serve_six_events(
    loss: Callable[[Document], None], enough: bool | None
) -> None:
    week = read_scenario(find_scenario("demo")).document()
    loss(week)
    scenario = scenario_of(week)
    plan = plan_week(scenario, seconds=0.5, seed=1, deterministic=True, workers=1)
    found = audit(scenario, plan)
    assert found.valid, "\n".join(map(str, found.findings))
    assert all(m.why for m in plan.missing)
    assert found.served == (not plan.unserved)
    if enough is False:
        assert plan.unserved and plan.missing

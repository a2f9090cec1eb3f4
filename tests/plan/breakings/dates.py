"""Breakings of dates of use."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan
from tests.plan.breakings.means import DAY, breaking, move, of_batch


@breaking("date-mark")
def _used_past_its_date(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        component = scenario.component.get(batch.component or "")
        if component is not None and component.food_class == "ready":
            return move(plan, -4 * DAY, *of_batch(plan, batch.id))
    return None

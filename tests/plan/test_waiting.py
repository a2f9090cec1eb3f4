"""What goes on overnight by itself."""

from __future__ import annotations

from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_scenario
from scheduler.plan.waiting import unattended
from scheduler.solve.engine import plan_week


def test_meat_that_lies_in_salt_overnight_is_named_with_its_next_touch() -> None:
    """It waits between two steps: nothing runs, and yet somebody has to go on with it."""
    scenario = read_scenario(find_scenario("first-week"))
    plan = plan_week(scenario, seconds=0.2, deterministic=True)
    midnight, running = unattended(scenario, plan)
    salted = [h for h in plan.holds if h.kind == "wait" and h.start <= midnight < h.end]
    assert [h.consumer for h in salted] == [u.task.id for u in running if u.task.start > midnight]
    assert salted

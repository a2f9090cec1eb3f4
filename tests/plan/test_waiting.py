"""What goes on overnight by itself, and what is made too much."""

from __future__ import annotations

from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_scenario, scenario_of
from scheduler.plan.file import Verdicts
from scheduler.plan.summary import summarise
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


def test_what_the_smallest_batch_makes_too_much_is_said() -> None:
    """First-week's soup in batches of 12 l at least, where 7.92 l are eaten."""
    document = read_scenario(find_scenario("first-week")).document()
    soup = next(c for c in document["components"] if c["id"] == "pea-soup")
    soup["batch"] = {"least": "12 l"}
    scenario = scenario_of(document)
    plan = plan_week(scenario, seconds=0.2, deterministic=True)
    text = summarise(scenario, plan, Verdicts(valid=True, served=True))
    assert "Left over: pea-soup 4.08 l." in text

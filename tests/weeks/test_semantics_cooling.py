"""A step that cools is over within the limit, whatever else would be fresher or fit better."""

from __future__ import annotations

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.by import By
from scheduler.plan.show import show
from scheduler.safety.check import check
from scheduler.safety.cooling import RULE
from tests.safety.cooled import SOUP
from tests.weeks.checks import finds_no_place, keeps_the_rule, served, task
from tests.weeks.tiny import Document, component, cook, keep, span, step, visit, week_of

BATH: Document = SOUP | {
    "by": "ice-bath", "stirred": True, "shape": "cylinder", "diameter": "24 cm", "air": "3 °C",
}  # fmt: skip
POT = {key: value for key, value in BATH.items() if key != "depth"}


def soup_week(
    time: str | Document | None, *hours: str, food_class: str | None = "ready", **words: object
) -> Document:
    """Boiled for an hour, cooled, and finished at once by the one cook."""
    cool = {"id": "cool", "time": time, "cooling": POT | words}
    if time is None:
        del cool["time"]
    soup = component(
        "soup", step("boil", "60 min", hands=1), cool, step("finish", "30 min", hands=1),
        keeps=keep("30 h", "chilled", best_until="1 h"),
        **({"food_class": food_class} if food_class else {}),
    )  # fmt: skip
    rules = {"kitchen": {"rule_profile": "us"}}
    return week_of(soup, people=[cook("ana", *hours)], service="17:30", **rules)


def test_a_pot_is_not_left_to_cool_all_day_to_be_fresher() -> None:
    """FDA Food Code 3-501.14(A): 6 h from 57 to 5 °C; what is above 57 °C adds to that.

    She boils from 6 to 8 or from 16 to 20; nine hours in between would make it freshest.
    """
    week = ("06:00-08:00", "16:00-20:00")
    time = span("60 min", "10 h", "10 h")
    plan = keeps_the_rule(
        soup_week(time, *week), soup_week(time, *week, food_class=None), "cooling"
    )
    cooled = task(plan, "soup.1/cool")
    assert cooled.law_end - cooled.law_start <= 9 * 60


def test_no_pot_at_all_where_only_all_day_would_fit() -> None:
    """The same pot, nobody there in the evening; without a limit it would be served."""
    hours = ("06:00-08:00", "16:30-17:30")
    time = span("60 min", "10 h")
    finds_no_place(soup_week(time, *hours), "soup.1")
    served(soup_week(time, *hours, food_class=None))


def test_what_the_grid_adds_counts_and_the_finding_says_that_it_is_the_grid() -> None:
    """6 h 45 min would be within 6 h 52 min, but on a grid of 30 min they are 7 h."""
    document = soup_week("6 h 45 min", "00:00-24:00")
    (most,) = [f for f in check(scenario_of(document)) if f.rule == RULE and f.enforced]
    assert "6 h 45 min written, 7 h as planned" in most.said
    assert most.said.endswith("it would fit, but not on the grid of 30 min")
    with pytest.raises(BadInput, match=r"7 h as planned, at most .*not on the grid of 30 min"):
        served(document)
    document["kitchen"]["grid"] = "15 min"
    cooled = task(served(document), "soup.1/cool")
    assert cooled.law_end - cooled.law_start == 6 * 60 + 45


def test_a_batch_that_cools_too_slowly_for_its_size_is_said_at_once() -> None:
    slow = {"at_least": "60 min", "plus": "60 min", "per": "1 portion"}
    with pytest.raises(BadInput, match=r"soup\.1, cool: cools for 11 h, at most .*smaller batches"):
        served(soup_week(slow, "00:00-24:00"))


def test_the_estimate_is_planned_up_to_the_grid() -> None:
    plan = served(soup_week(None, "00:00-24:00", sets_time=True))
    cooled = task(plan, "soup.1/cool")
    assert cooled.law_end - cooled.law_start == 60


def test_the_sheet_says_when_the_probe_must_read_what() -> None:
    """FDA Food Code 3-501.14(A): 21 °C two hours after it begins, 5 °C when the step is over."""
    document = soup_week("3 h", "00:00-24:00")
    cool = document["components"][0]["steps"][1]
    cool["load"] = visit("30 min")
    scenario, plan = scenario_of(document), served(document)
    begins = task(plan, "soup.1/cool").law_start

    def clock(minute: int) -> str:
        return f"{scenario.clock.local(minute):%H:%M}"

    sheet = " ".join(" ".join(show(scenario, plan, By.DAY)).split())
    assert (
        "stirred pot in stirred ice water, 240 mm across; probe: 21 °C by "
        f"{clock(begins + 120)}, 5 °C by {clock(begins + 180)} (write it down)"
    ) in sheet


def test_the_check_of_a_plan_says_how_long_each_pot_is_given() -> None:
    document = soup_week("6 h", "00:00-24:00")
    scenario, plan = scenario_of(document), served(document)
    (one,) = [f for f in check(scenario, plan) if f.rule == RULE and "soup.1/cool" in f.where]
    assert one.said.startswith("cools for 6 h, at most ") and one.enforced
    assert not [f for f in audit(scenario, plan).findings if f.rule == "cooling"]

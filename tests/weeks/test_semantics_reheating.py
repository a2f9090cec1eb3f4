"""What was cold and is kept hot again is hot within two hours, in every plan.

FDA Food Code 3-403.11(D): between 5 °C and 74 °C for 2 h at most.
"""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.safety.check import check
from tests.weeks.checks import finds_no_place, keeps_the_rule, served, task
from tests.weeks.tiny import Document, component, cook, keep, span, step, store, take, week_of

STORES = [
    store("walk-in", "chilled", 9) | {"warmest": "4 °C"},
    store("cupboard", "hot", 9) | {"coldest": "70 °C"},
]


def reheated(
    time: str | Document, *hours: str, food_class: str = "ready", people: Any = None, **words: Any
) -> Document:
    """Soup out of the walk-in, lifted on, made hot, lifted off at once into the hot cupboard."""
    of = {"food_class": food_class}
    soup = component("soup", step("boil", "60 min", hands=1, core="90 °C"),
                     keeps=keep("24 h", "chilled", best_until="24 h"), **of)  # fmt: skip
    heat = step("heat", time, kept="hot", core="76 °C", takes=[take("soup")], **words)
    hot = component("hot-soup", step("lift", "30 min", hands=1), heat,
                    keeps=keep("4 h", "hot", best_until="1 h"), **of)  # fmt: skip
    return week_of(soup, hot, people=people or [cook("ana", *hours)], stores=STORES,
                   service="17:30", kitchen={"rule_profile": "us"})  # fmt: skip


def test_a_pot_is_not_on_the_fire_for_longer_than_two_hours_to_be_fresher() -> None:
    time = span("60 min", "6 h", "6 h")
    plan = keeps_the_rule(
        reheated(time, "06:00-12:00"), reheated(time, "06:00-12:00", food_class="acid"), "reheat"
    )
    heat = task(plan, "hot-soup.1/heat")
    assert heat.law_end - heat.law_start <= 120


def test_no_hot_soup_where_only_a_longer_time_on_the_fire_would_fit() -> None:
    """Whoever lifts it off comes only three hours later; without the rule it would be served."""
    off = {"unload": {"time": "30 min", "hands": [{"people": 1}]}}
    time, hours = span("60 min", "4 h", "4 h"), ("06:00-10:00", "13:00-14:00")
    finds_no_place(reheated(time, *hours, **off), "hot-soup.1")
    served(reheated(time, *hours, food_class="acid", **off))


def test_a_batch_that_is_too_large_to_be_hot_in_time_is_said_at_once() -> None:
    slow = {"at_least": "60 min", "plus": "10 min", "per": "1 portion"}
    with pytest.raises(BadInput, match=r"hot-soup\.1, heat: reheats for 2 h 40 min, within 2 h"):
        served(reheated(slow, "00:00-24:00"))


def test_a_trainee_who_is_too_slow_for_it_does_not_reheat_on_their_own() -> None:
    """90 min for a cook are 2 h 15 min for a trainee (`trainee_hour` 90 min)."""
    both = [cook("ana"), cook("tom", sections={"stove": "trainee"})]
    document = reheated("90 min", hands=[{"level": "trainee"}], people=both)
    document["kitchen"]["trainee_hour"] = "90 min"
    heat = task(served(document), "hot-soup.1/heat")
    assert heat.law_end - heat.law_start == 90
    assert heat.visits[0].people == ("ana",)


def test_the_check_of_a_plan_says_how_long_each_pot_is_on_the_fire() -> None:
    document = reheated(span("60 min", "3 h"), "00:00-24:00")
    scenario, plan = scenario_of(document), served(document)
    (one,) = [f for f in check(scenario, plan) if "hot-soup.1/heat" in f.where]
    assert one.said == "reheated in 1 h; within 2 h" and one.enforced
    assert not [f for f in audit(scenario, plan).findings if f.rule == "reheat"]

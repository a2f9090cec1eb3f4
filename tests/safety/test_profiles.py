"""Limits are data, each with its document beside it, and a kitchen may say its own."""

from __future__ import annotations

from copy import deepcopy
from fractions import Fraction
from typing import Any

import pytest
from pydantic import ValidationError

from scheduler.domain.celsius import read_celsius, write_celsius
from scheduler.domain.limits import FoodLimits, Profile, Source
from scheduler.domain.problems import BadInput
from scheduler.domain.profiles import NAMES, food_classes, food_limits, profile, shipped
from scheduler.domain.reading import scenario_of
from scheduler.safety.check import check, headline
from scheduler.safety.finding import Standing
from tests.plan.tiny import DOCUMENT

LOOSE = {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"}


def kitchen(**words: Any) -> dict[str, Any]:
    """The smallest week, with some words more for its kitchen."""
    document = deepcopy(DOCUMENT)
    document["kitchen"] |= words
    return document


def said(document: dict[str, Any]) -> str:
    """Everything that is wrong with it."""
    with pytest.raises(BadInput) as caught:
        scenario_of(document)
    return "\n".join(str(p) for p in caught.value.problems)


@pytest.mark.parametrize("name", NAMES)
def test_every_limit_says_where_it_stands(name: str) -> None:
    found = profile(name)
    for where, limit in found.food.named():
        assert limit.document, where
        assert limit.evidence != "our own", f"{name}, {where}: whose figure is it?"
        assert limit.confirmed is None, "a shipped limit is confirmed by nobody's kitchen"
    assert {*dict(found.food.named()), *found.absent} == set(FoodLimits.model_fields)


def test_the_codes_are_told_apart_by_what_they_publish() -> None:
    """FDA Food Code 3-501.14(A): both limits from 57 °C on; FSANZ 3.2.2 cl. 7(3): a further 4 h."""
    us, anz = profile("us").food.cooling, profile("anz").food.cooling
    assert us is not None and anz is not None
    assert str(us) == "57 °C to 21 °C within 2 h and 57 °C to 5 °C within 6 h"
    assert str(anz) == "60 °C to 21 °C within 2 h and 21 °C to 5 °C within 4 h"


def test_a_cold_room_at_seven_is_lawful_in_one_country_and_not_in_another() -> None:
    """SI 2013/2996 Schedule 4 para. 2: 8 °C; FDA Food Code 3-501.16(A)(2): 5 °C."""
    uk, us = profile("uk").food.cold, profile("us").food.cold
    assert uk is not None and us is not None
    assert us.value < 7 < uk.value


def test_every_class_of_food_says_why() -> None:
    for one in food_classes().values():
        assert one.why and one.source
        assert not (one.raw and not one.controlled), one.id


def test_what_is_from_memory_is_enforced_only_when_somebody_has_looked_it_up() -> None:
    base = scenario_of(kitchen(rule_profile="uk", rest=LOOSE))
    reheat = food_limits(base.kitchen).reheat
    assert reheat is not None and not reheat.hard
    assert "from memory, not confirmed" in reheat.source
    told = [f for f in check(base) if f.rule == "reheat"]
    assert [f.standing for f in told] == [Standing.NOTE]
    confirmed = {"reheat": "head chef, 3 May"}
    looked_up = scenario_of(kitchen(rule_profile="uk", rest=LOOSE, confirmed=confirmed))
    reheat = food_limits(looked_up.kitchen).reheat
    assert reheat is not None and reheat.hard
    assert "looked up by head chef, 3 May" in reheat.source
    assert not [f for f in check(looked_up) if f.rule == "reheat"]


def test_a_kitchen_edits_one_limit_and_keeps_the_others() -> None:
    own = {"cold": {"value": "4 °C", "section": "page 3"}}
    scenario = scenario_of(kitchen(rule_profile="us", own_limits=own))
    limits = food_limits(scenario.kitchen)
    assert limits.cold is not None and limits.hot is not None
    assert (limits.cold.value, limits.hot.value) == (4, 57)
    assert limits.cold.source == "the kitchen's own rule page 3"
    assert limits.cold.hard
    assert scenario_of(scenario.document()) == scenario
    published = food_limits(scenario.under("us").kitchen).cold
    assert published is not None and published.value == 5


def test_a_kitchen_of_its_own_rules_has_those_alone() -> None:
    own = {"date_mark": {"value": 3}}
    scenario = scenario_of(kitchen(rule_profile="house", own_limits=own))
    assert [name for name, _ in food_limits(scenario.kitchen).named()] == ["date_mark"]


def test_without_a_profile_nothing_is_said_to_be_fine() -> None:
    scenario = scenario_of(kitchen())
    assert check(scenario) == []
    assert "no limit is checked" in headline(scenario)
    assert "Local codes and licensed practice decide" in headline(scenario)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ({"rule_profile": "usa"}, "unknown rule profile 'usa'"),
        ({"own_limits": {"cold": {"value": "4 °C"}}}, "Maybe 'rule_profile: house'"),
        ({"rule_profile": "us", "confirmed": {"colt": "ada"}}, "'colt' is no limit of food safety"),
        ({"rule_profile": "eu", "confirmed": {"cold": "ada"}}, "national law does"),
        (
            {"rule_profile": "us", "own_limits": {"cold": {"value": "41 °C"}}},
            "cold, value: 41 °C is not between -5 and 15 °C. Maybe °F was meant: '5 °C'",
        ),
        ({"rule_profile": "us", "own_limits": {"acid": {"value": 46}}}, "Maybe '4.6'"),
        (
            {"rule_profile": "us", "own_limits": {"reheat": {"value": "75 °F"}}},
            "is not between 55 and 100 °C. Maybe °C was meant: '75 °C'",
        ),
        ({"rule_profile": "us", "own_limits": {"cold": {"value": "cool"}}}, "not a temperature"),
        (
            {
                "rule_profile": "us",
                "own_limits": {
                    "cooling": {"windows": [{"from": "5", "to": "60", "within": "2 h"}]}
                },
            },
            "from 5 °C to 60 °C is no cooling",
        ),
        (
            {
                "rule_profile": "house",
                "own_limits": {"exposure": {"value": "1 h"}, "rechill": {"value": "2 h"}},
            },
            "`rechill` 2 h is longer than `exposure` 1 h",
        ),
    ],
)
def test_a_limit_that_cannot_be_meant_is_said_with_its_place(
    words: dict[str, Any], sentence: str
) -> None:
    assert sentence in said(kitchen(**words))


def test_a_profile_that_forgets_a_limit_is_refused() -> None:
    document = shipped("profiles/us")
    del document["food"]["cold"]
    with pytest.raises(ValidationError, match="`cold` is neither there nor said absent"):
        Profile.model_validate(document)
    document["absent"]["cold"] = "not read"
    Profile.model_validate(document)
    document["absent"]["hot"] = "not read"
    with pytest.raises(ValidationError, match="`hot` is both there and absent"):
        Profile.model_validate(document)


def test_fahrenheit_is_read_exactly_and_survives_being_written() -> None:
    """32 °F is the ice point, 212 °F the steam point of the old scale."""
    assert read_celsius("212 °F") == 100
    assert read_celsius("135 °F") == Fraction(515, 9)
    limit = FoodLimits.model_validate({"hot": {"value": "135 °F"}})
    assert FoodLimits.model_validate(limit.model_dump(mode="json")) == limit
    assert write_celsius(read_celsius("-18 °C")) == "-18 °C"


def test_a_guideline_is_told_and_never_enforced() -> None:
    assert not Source(document="a circular", evidence="seen", advice=True).hard

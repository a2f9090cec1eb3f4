"""What controlled food touches is cleaned every four hours; the rest says why it need not be."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.safety.check import check
from scheduler.safety.finding import Finding, Standing
from tests.weeks.checks import served
from tests.weeks.tiny import Document, component, cook, keep, kind, span, step, week_of

ANA = [cook("ana")]


def on_the_slicer(*hours: str, food_class: str = "ready", **more: Any) -> Document:
    """One thing after another on one slicer, each for so long; the last is ready at six."""
    parts = [
        component(
            f"part-{n}", step("slice", time, on=[{"equipment": "slicer"}], **more),
            food_class=food_class, keeps=keep("30 h", "chilled"),
        )
        for n, time in enumerate(hours)
    ]  # fmt: skip
    return week_of(
        *parts, equipment=[kind("slicer")], people=ANA, kitchen={"rule_profile": "us"}
    )


def told(document: Document, planned: bool = False) -> list[Finding]:
    plan = served(document) if planned else None
    return [f for f in check(scenario_of(document), plan) if f.rule == "clean_every"]


@pytest.mark.parametrize(
    ("hours", "standing"), [("5 h", Standing.BROKEN), ("4 h", Standing.NEAR), ("3 h", None)]
)
def test_five_hours_on_a_slicer_are_too_long_for_ham(hours: str, standing: Any) -> None:
    """FDA Food Code 4-602.11(C): at least every 4 hours."""
    found = told(on_the_slicer(hours))
    assert [f.standing for f in found] == ([standing] if standing else [])
    for one in found:
        assert "such food at most 4 h" in one.said and "4-602.11(C)" in one.source
        assert not one.enforced


def test_sesame_is_ground_all_night_and_the_check_says_why() -> None:
    """A paste without water is no food that time matters for: water activity, 21 CFR 114.3."""
    (found,) = told(on_the_slicer("20 h", food_class="oil-seed-paste"))
    assert found.standing is Standing.FINE
    assert "needs no cleaning in between" in found.said and "water activity" in found.said


def test_what_runs_in_the_cold_or_where_no_such_limit_is_says_nothing() -> None:
    assert told(on_the_slicer("5 h", kept="cold")) == []
    week = on_the_slicer("5 h")
    week["kitchen"]["rule_profile"] = "anz"
    assert told(week) == []


def test_where_the_food_decides_the_longest_time_counts() -> None:
    (found,) = told(on_the_slicer(span("3 h", "6 h", decides="it")))  # type: ignore[arg-type]
    assert found.standing is Standing.BROKEN and "6 h" in found.said


def test_three_things_in_a_row_say_when_the_slicer_must_be_cleaned() -> None:
    """13:00 to 18:00 in one go: cleaned by 17:00."""
    (found,) = told(on_the_slicer("2 h", "1 h", "2 h"), planned=True)
    assert found.standing is Standing.BROKEN and not found.enforced
    assert "without cleaning, at most 4 h: clean it by Fri 7 May 17:00" in found.said


def test_a_clean_down_on_the_way_starts_the_clock_again() -> None:
    week = on_the_slicer("2 h", "1 h", "2 h")
    rule = {"time": "30 min", "between": "any change", "hands": [{"section": "stove"}]}
    week["kitchen"]["equipment"][0]["clean_down"] = rule
    (found,) = told(week, planned=True)
    assert found.standing is Standing.FINE and "at most 2 h without cleaning" in found.said


@pytest.mark.parametrize(
    ("room", "hours", "allowed"),
    [
        ("5 °C", "25 h", "1 d"), ("7 °C", "21 h", "20 h"), ("10 °C", "17 h", "16 h"),
        ("12 °C", "11 h", "10 h"), ("14 °C", "5 h", "4 h"), (None, "5 h", "4 h"),
    ],
)  # fmt: skip
def test_in_a_cold_room_it_is_cleaned_less_often_the_colder_it_is(
    room: str | None, hours: str, allowed: str
) -> None:
    """FDA Food Code 4-602.11(D): at most 5, 7.2, 10 and 12.8 °C, every 24, 20, 16 and 10 hours."""
    week = on_the_slicer(hours)
    if room is not None:
        week["kitchen"]["equipment"][0]["room"] = room
    (found,) = told(week)
    assert found.standing is Standing.BROKEN and found.said.endswith(f"such food at most {allowed}")
    assert ("4-602.11(D)" in found.source) == (allowed != "4 h")


def test_a_slicer_in_the_cold_room_is_cleaned_by_its_room_in_the_plan() -> None:
    """Five hours in one go at 10 °C are fine, as 16 h are; out in the kitchen they are not."""
    week = on_the_slicer("2 h", "1 h", "2 h")
    week["kitchen"]["equipment"][0]["room"] = "10 °C"
    (found,) = told(week, planned=True)
    assert found.standing is Standing.FINE and "at most 5 h without cleaning, of 16 h" in found.said


def test_a_limit_that_nobody_has_looked_up_is_near_at_worst() -> None:
    week = on_the_slicer("2 h", "1 h", "2 h")
    own = {"clean_every": {"value": "4 h", "document": "a leaflet", "evidence": "from memory"}}
    week["kitchen"] |= {"rule_profile": "house", "own_limits": own}
    found = [f for f in told(week, planned=True) if f.standing is not Standing.NOTE]
    assert [f.standing for f in found] == [Standing.NEAR]


def test_a_table_of_cold_rooms_out_of_order_is_refused() -> None:
    rows = [{"room": "10 °C", "every": "16 h"}, {"room": "5 °C", "every": "24 h"}]
    week = on_the_slicer("2 h")
    week["kitchen"]["own_limits"] = {"clean_every_cold": {"rows": rows}}
    with pytest.raises(BadInput, match="5 °C is out of order in the table of cold rooms"):
        scenario_of(week)

"""What controlled food touches is cleaned every four hours; the rest says why it need not be."""

from __future__ import annotations

from typing import Any

import pytest

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

"""Wishes and acceptances that cannot be meant: each named, with what was probably meant."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.wishes import HOUSE, SAFETY
from scheduler.plan.audit import RULES
from tests.weeks.tiny import component, cook, in_oven, kind, oven, step, visit, week_of

DAY = "2027-05-07"


def week(wish: dict[str, Any]) -> dict[str, Any]:
    return week_of(
        component(
            "bread",
            step("knead", "30 min", hands=1, on=[{"equipment": "mixer"}]),
            step("bake", "30 min", load=visit("30 min"), on=[in_oven(200)]),
            step("cool", "30 min"),
        ),
        people=[cook("ana"), cook("lea", sections={"larder": "cook"})],
        equipment=[
            oven(),
            kind("mixer", units=[{"id": "small", "fill": "20 portions"},
                                 {"id": "large", "fill": "40 portions"}]),
            kind("tub", units=3),
        ],
        week={"wishes": [wish]},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        ({"component": "bred", "person": "ana"}, "unknown component 'bred'. Maybe 'bread'"),
        ({"component": "bread", "step": "kneed", "person": "ana"}, "Maybe 'knead'"),
        ({"component": "bread", "person": "anna"}, "unknown person 'anna'. Maybe 'ana'"),
        ({"component": "bread", "step": "cool", "person": "ana"}, "takes no hands there"),
        ({"component": "bread", "person": "lea"}, "lea is not of the section"),
        ({"kind": "must not", "component": "bread", "person": "ana"}, "too few who may do it"),
        ({"component": "bread", "unit": "mixer"}, "'mixer' is a kind"),
        ({"component": "bread", "unit": "smal"}, "unknown unit 'smal'. Maybe 'small'"),
        ({"component": "bread", "unit": "tub-1"}, "bread is never on tub-1"),
        ({"kind": "must not", "component": "bread", "unit": "oven"}, "has no other than oven"),
        ({"component": "bread", "done_by": "2027-06-01 12:00"}, "outside the week"),
        ({"component": "bread"}, "a wish says one thing"),
        ({"component": "bread", "unit": "large", "days": [DAY]}, "this says unit, days"),
        ({"kind": "rather not", "component": "bread", "done_by": f"{DAY} 12:00"}, "Maybe 'rather'"),
        ({"kind": "wants", "component": "bread", "days": [DAY]}, "'wants' is none of: must"),
    ],
)
def test_a_wish_that_cannot_be_meant_is_named(wish: dict[str, Any], said: str) -> None:
    with pytest.raises(BadInput) as bad:
        scenario_of(week({"kind": "must", **wish}))
    assert any(said in str(p) for p in bad.value.problems), [str(p) for p in bad.value.problems]


def test_a_wish_that_can_be_meant_is_read() -> None:
    found = scenario_of(week({"kind": "rather", "component": "bread", "unit": "large"}))
    assert found.week.wishes[0].unit == "large"


def test_what_may_be_let_go_and_what_never_are_rules_of_the_second_reader() -> None:
    assert not set(HOUSE) & SAFETY
    assert set(HOUSE) | SAFETY <= set(RULES)

"""Words that were each right by themselves and met: tiny weeks, and believable ones with all."""

from __future__ import annotations

import pytest

from tests.weeks.checks import served, task
from tests.weeks.tiny import EVE, component, cook, keep, kind, step, week_of


@pytest.mark.parametrize("much", ["rather", "must"])
def test_washing_up_is_no_part_of_what_is_wished_for_a_component(much: str) -> None:
    """Made on the eve as wished; the moulds are washed when somebody comes in who washes."""
    mousse = component(
        "mousse", step("fill", "60 min", hands=1, on=[{"equipment": "mould", "per": "5 portions"}]),
        keeps=keep("30 h"),
    )  # fmt: skip
    mould = kind("mould", units=4, washed={"time": "30 min", "hands": [{"section": "larder"}]})
    ben = cook("ben", "06:00-08:00", days="2027-05-07", sections={"larder": "cook"})
    plan = served(
        week_of(
            mousse, equipment=[mould], people=[cook("ana", "18:00-21:00"), ben],
            week={"wishes": [{"kind": much, "component": "mousse", "days": [EVE]}]},
        )
    )  # fmt: skip
    assert plan.terms.wishes == 0
    assert task(plan, "mousse.1/wash-mould").start == 30 * 60

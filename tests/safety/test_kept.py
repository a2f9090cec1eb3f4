"""How food is kept follows from the temperature of the place, not from what the place is called."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from scheduler.domain.kept import step_kept, zone_kept
from scheduler.domain.problems import BadInput
from scheduler.domain.profiles import food_limits
from scheduler.domain.reading import scenario_of
from tests.plan.tiny import DOCUMENT
from tests.safety.test_profiles import LOOSE


def week(profile: str, *stores: dict[str, Any], **step: Any) -> Any:
    document = deepcopy(DOCUMENT)
    document["kitchen"] |= {"rule_profile": profile, "rest": LOOSE}
    if profile == "us":
        del document["kitchen"]["rest"]
    if stores:
        document["kitchen"]["stores"] = [
            {"id": f"room-{n}", "zone": "chilled", "shelves": 4} | s for n, s in enumerate(stores)
        ]
    document["components"][0]["steps"][0] |= step
    return scenario_of(document)


@pytest.mark.parametrize(
    ("profile", "stores", "kept"),
    [
        ("us", [{"warmest": "5 °C"}], "cold"),
        ("us", [{"warmest": "7 °C"}], "out"),
        ("uk", [{"warmest": "7 °C"}], "cold"),
        ("eu", [{"warmest": "7 °C"}], "cold"),
        ("us", [{}], "cold"),
        ("us", [{"warmest": "-18 °C"}], "frozen"),
        ("us", [{"warmest": "4 °C"}, {"warmest": "9 °C"}], "out"),
        ("us", [{"warmest": "4 °C"}, {"warmest": "-18 °C"}], "cold"),
        ("us", [{"coldest": "60 °C"}], "hot"),
        ("uk", [{"coldest": "60 °C"}], "out"),
    ],
)
def test_a_zone_keeps_as_its_worst_store_does(
    profile: str, stores: list[dict[str, Any]], kept: str
) -> None:
    """5 °C and 57 °C: FDA Food Code 3-501.16(A); 8 °C and 63 °C: SI 2013/2996, WSI 2006/31."""
    scenario = week(profile, *stores)
    assert zone_kept(scenario, "chilled", food_limits(scenario.kitchen)) == kept


def test_a_step_is_out_unless_it_is_said_or_stands_somewhere() -> None:
    for words, kept in (({}, "out"), ({"kept": "hot"}, "hot"),
                        ({"on": [{"zone": "chilled"}]}, "cold")):  # fmt: skip
        scenario = week("us", **words)
        step = scenario.components[0].steps[0]
        assert step_kept(scenario, step, food_limits(scenario.kitchen)) == kept


@pytest.mark.parametrize(
    ("store", "step", "sentence"),
    [
        ({"coldest": "8 °C", "warmest": "2 °C"}, {}, "between 8 °C and 2 °C is upside down"),
        ({}, {"core": "165 °C"}, "Maybe °F was meant: '73.9 °C'"),
        ({}, {"core": "hot"}, "not a temperature"),
    ],
)
def test_a_temperature_that_cannot_be_meant_is_refused(
    store: dict[str, Any], step: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(BadInput) as caught:
        week("us", store, **step)
    assert sentence in "\n".join(str(p) for p in caught.value.problems)

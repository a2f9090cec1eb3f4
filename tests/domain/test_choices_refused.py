"""Mistakes in methods and in what is bought in are said at their place."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from tests.weeks.tiny import component, keep, kind, step, take, week_of

OFFER = {"lead_time": "12 h", "hours": "06:00-10:00", "pack": "4 portions", "price": 9}


def offered(**more: Any) -> dict[str, Any]:
    """A sablé that may be bought."""
    offer = {k: v for k, v in (OFFER | more).items() if v is not None}
    return week_of(component("sable", step("bake", "1 h", hands=1), bought_in=offer))


def other(*steps: dict[str, Any], name: str = "other", **rest: Any) -> dict[str, Any]:
    """A mousse with a second method."""
    mousse = component(
        "mousse", step("whip", "1 h", hands=1), methods=[{"id": name, "steps": list(steps)}], **rest
    )
    return week_of(mousse, equipment=[kind("chiller", fill="4 portions")])


WRONG: list[tuple[str, dict[str, Any], str]] = [
    ("no lead time", offered(lead_time="0 min"), "lead_time"),
    ("an hour that is none", offered(order_before="noon"), "'noon' is not a time of day"),
    ("a pack of nothing", offered(pack="0 pieces"), "a pack of '0 pieces' is nothing"),
    ("a pack by weight", offered(pack="1 kg"), "a pack of '1 kg'; sable is made as '10 portions'"),
    ("hours off the grid", offered(hours="06:10-10:00"), "06:10-10:00 is not on the grid"),
    (
        "gone before it has surely come", offered(at_most="4 h"),
        "it comes any time in 06:00-10:00 and keeps 4 h, so nothing of that is left",
    ),
    (
        "a method called like buying", other(step("beat", "1 h", hands=1), name="bought-in"),
        "a method has another id",
    ),
    (
        "a method with a step twice",
        other(step("beat", "1 h", hands=1), step("beat", "1 h", hands=1)),
        "the same id twice: 'beat' is a step already",
    ),
    (
        "a machine nobody has", other(step("beat", "1 h", on=[{"equipment": "beater"}])),
        "unknown equipment 'beater'",
    ),
    (
        "a batch that does not fit the other method",
        other(step("chill", "1 h", on=[{"equipment": "chiller"}]), batch={"least": "5 portions"}),
        "the smallest batch, 5 portions, does not fit: chiller takes 4 pieces at most",
    ),
    (
        "a wait after the last step",
        other(step("beat", "1 h", hands=1, then={"at_most": "1 h"})),
        "how the component waits is in `keeps`",
    ),
    (
        "a circle through the other method",
        other(step("beat", "1 h", hands=1, takes=[take("mousse")])),
        "mousse takes mousse, and none is on hand",
    ),
]


@pytest.mark.parametrize(
    ("document", "said"), [w[1:] for w in WRONG], ids=[w[0] for w in WRONG]
)
def test_a_mistake_is_said(document: dict[str, Any], said: str) -> None:
    with pytest.raises(BadInput) as bad:
        scenario_of(document)
    assert said in "\n".join(str(p) for p in bad.value.problems)


def test_a_good_offer_and_a_good_method_are_read_and_written_alike() -> None:
    document = offered(order_before="12:00", order_days=["mon", "tue"], at_most="12 h")
    document["components"][0]["keeps"] = [keep("24 h", "dry")]
    scenario = scenario_of(document)
    assert scenario_of(scenario.document()) == scenario
    scenario = scenario_of(other(step("beat", "1 h", hands=1)))
    assert scenario_of(scenario.document()) == scenario


def test_what_is_begun_names_a_method_that_there_is() -> None:
    document = other(step("beat", "3 h", hands=1))
    begun = {
        "id": "mousse-a", "component": "mousse", "quantity": "4 portions", "step": "beat",
        "started": "2027-05-05 23:00",
    }
    document["week"]["in_progress"] = [begun | {"method": "other"}]
    assert scenario_of(document).week.in_progress[0].method == "other"
    for wrong, said in (({"method": "shake"}, "unknown method 'shake'"), ({}, "no step 'beat'")):
        document["week"]["in_progress"] = [begun | wrong]
        with pytest.raises(BadInput, match=said):
            scenario_of(document)

"""What no document says we have chosen: as data, with a reason, and nothing else decides."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from scheduler.domain import choices as module
from scheduler.domain.choices import Choices, choices
from scheduler.domain.limits import FoodLimits
from scheduler.domain.plausible import doubted
from scheduler.domain.profiles import profile
from scheduler.domain.shipped import shipped
from scheduler.safety.check import check
from scheduler.safety.finding import Standing, against
from tests.safety.test_holding import found, soup, week
from tests.weeks.tiny import keep, store


@pytest.fixture
def written(monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[str, Any]]:
    """The choices as data that a test may write in; read anew for it alone."""
    data: dict[str, Any] = shipped("choices")
    monkeypatch.setattr(module, "shipped", lambda name: data)
    choices.cache_clear()
    yield data
    choices.cache_clear()


def test_every_choice_says_why_and_whose_it_is() -> None:
    ours = choices()
    for name in Choices.model_fields:
        some = ours.plausible.values() if name == "plausible" else [getattr(ours, name)]
        for one in some:
            assert one.why and one.document and one.evidence, name


def test_every_limit_with_a_figure_has_a_range_in_which_it_can_be_meant() -> None:
    places = {"cooling_to", "cooling_mixed_to", "store", "store_hot"}
    bare = {"allergens", "clean_between", "clean_every_cold"}
    assert ({*choices().plausible} - places) | bare == {*FoodLimits.model_fields}


def test_hot_without_a_limit_is_the_highest_of_those_that_were_read() -> None:
    read = [profile(name).food.hot for name in ("us", "anz", "uk")]
    assert choices().hot.value == max(limit.value for limit in read if limit is not None)


def test_who_is_alone_at_night_is_warned_in_a_night_that_a_profile_knows() -> None:
    eu = profile("eu").work
    assert eu is not None
    assert choices().night.hours in [night.hours for night in eu.young.nights]


def test_what_is_near_is_what_the_data_say(written: dict[str, Any]) -> None:
    written["near"]["value"] = 50
    assert against(51, 100) is Standing.NEAR
    assert against(50, 100) is Standing.FINE


def test_what_is_frozen_is_what_the_data_say(written: dict[str, Any]) -> None:
    """-18 °C is what freezers are kept at (common practice, no source); ours is a warmer one."""
    box = store("box", "frozen", 9) | {"warmest": "-13 °C"}
    cold = store("walk-in", "chilled", 9) | {"warmest": "4 °C"}
    frozen = soup(keeps=keep("24 h", "frozen"))

    def told() -> list[str]:
        return [f.said for f in found(week("us", frozen, stores=[box, cold]), "frozen")] + [
            f.said for f in check(week("us", frozen, stores=[box, cold])) if f.where == "box"
        ]

    assert not any("frozen is" in said for said in told())
    written["frozen"]["value"] = "-18 °C"
    choices.cache_clear()
    assert any("frozen is -18 °C and below" in said for said in told())


def test_what_can_be_meant_is_what_the_data_say(written: dict[str, Any]) -> None:
    limits = FoodLimits.model_validate({"cold": {"value": "16 °C"}})
    assert [doubt.inside[0] for doubt in doubted(limits)] == ["cold"]
    written["plausible"]["cold"]["degrees"] = ["-5 °C", "20 °C"]
    choices.cache_clear()
    assert not list(doubted(limits))


@pytest.mark.parametrize("lost", ["why", "document", "evidence"])
def test_a_choice_without_its_reason_or_source_is_not_shipped(
    written: dict[str, Any], lost: str
) -> None:
    del written["room"][lost]
    with pytest.raises(ValueError, match=lost):
        choices()

"""Last calls: until when each batch can still be begun, whatever becomes of the others."""

from __future__ import annotations

from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.solve.last_calls import last_calls
from tests.weeks.tiny import DAY, EVE, component, cook, dish, event, keep, step, take, week_of

SERVICE = (24 + 18) * 60
"""Friday 18:00."""
DRIED = component("duck", step("dry", "45 h"), keeps=keep("8 h"))
"""Two days before service that the week does not have."""


def calls(document: dict[str, Any]) -> dict[str, int]:
    return {c.batch: c.by for c in last_calls(scenario_of(document))}


def test_a_batch_is_begun_its_length_before_service_at_the_latest() -> None:
    soup = component("soup", step("cook", "2 h", hands=1))
    found = calls(week_of(soup))
    assert found == {"soup.1": SERVICE - 120, "supper.plate": SERVICE}


def test_one_batch_that_cannot_work_does_not_touch_the_calls_of_the_others() -> None:
    soup = component("soup", step("cook", "2 h", hands=1))
    alone = calls(week_of(soup))
    assert calls(week_of(DRIED, soup)) == alone


def test_what_is_only_for_something_that_cannot_work_has_no_last_call() -> None:
    """Stock for a jus that the duck keeps from being made."""
    stock = component("stock", step("simmer", "1 h", hands=1))
    reduce = step("reduce", "1 h", hands=1, takes=[take("duck"), take("stock")])
    document = week_of(DRIED, stock, component("jus", reduce))
    assert set(calls(document)) == {"supper.plate"}


def test_no_last_call_lies_after_its_service() -> None:
    """Ana is gone from 12:00: what keeps an hour cannot be cooked for 18:00, the rest can."""
    fresh = component("fresh", step("cook", "1 h", hands=1), keeps=keep("1 h"))
    soup = component("soup", step("cook", "2 h", hands=1))
    dishes = [dish("one", "fresh"), dish("two", "soup")]
    document = week_of(
        fresh, soup, dishes=dishes, people=[cook("ana", "08:00-12:00")],
        events=[event("supper", "18:00", "one", "two")],
    )
    found = calls(document)
    assert found["soup.1"] == (24 + 10) * 60
    assert "fresh.1" not in found
    assert max(found.values()) <= SERVICE


def test_what_is_in_time_for_either_meal_but_not_for_both_is_still_begun_before_the_first() -> None:
    """A soup that keeps 16 h, for 12:00 and 18:00, by a cook who comes 14 h before and 4 h before.

    Neither meal alone rules it out, so nothing is certain; by lengths alone it
    begins at 11:00.
    """
    soup = component("soup", step("cook", "1 h", hands=1), keeps=keep("16 h"))
    document = week_of(
        soup,
        component("bread", step("bake", "1 h")),
        dishes=[dish("bowl", "soup"), dish("plate", "soup", "bread")],
        events=[event("lunch", "12:00", "bowl"), event("supper", "18:00", "plate")],
        people=[cook("ana", "20:00-22:00", days=EVE), cook("bo", "14:00-16:00", days=DAY)],
    )
    found = calls(document)
    assert found["soup.1"] == (24 + 11) * 60
    assert found["bread.1"] == SERVICE - 60

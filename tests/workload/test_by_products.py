"""By-products: used before any is made, called for only where nobody else makes them."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from tests.weeks.tiny import DAY, EVE, component, dish, event, keep, step, take, week_of
from tests.workload.weeks import Week

Document = dict[str, Any]
DRAIN = step("drain", "10 h", gives=[{"component": "whey", "amount": "5 portions"}])


def yoghurt(drain: Document = DRAIN, **rest: Any) -> Document:
    season = step("season", "30 min", hands=1)
    return component("yoghurt", drain, season, keeps=keep("48 h", "chilled"), **rest)


def whey(*steps: Document, limit: str = "24 h", **rest: Any) -> Document:
    return component("whey", *steps, keeps=keep(limit, "chilled", per_shelf="2 portions"), **rest)


def caramel(amount: str = "4 portions", **rest: Any) -> Document:
    cook = step("cook", "1 h", hands=1, takes=[take("whey", amount, **rest)])
    return component("caramel", cook, keeps=keep("24 h"))


def with_whey(
    *components: Document,
    dishes: list[Document] | None = None,
    events: list[Document] | None = None,
    **rest: Any,
) -> Week:
    """Ten portions of yoghurt with caramel on Friday at 18:00, unless it is said otherwise."""
    return Week(
        week_of(
            *components,
            dishes=dishes or [dish("plate", "yoghurt", "caramel")],
            events=events or [event("supper", "18:00", "plate")],
            **rest,
        )
    )


def test_the_whey_of_what_is_drained_anyway_goes_into_the_caramel() -> None:
    week = with_whey(yoghurt(), whey(), caramel())
    assert [b.id for b in week.work.batches if b.component] == ["caramel.1", "yoghurt.1"]
    (share,) = [s for s in week.work.shares if s.component == "whey"]
    assert (share.source, share.given, share.consumer) == ("yoghurt.1", "drain", "caramel.1")
    assert share.quantity == 4
    (left,) = week.work.by_products
    assert (left.batch, left.step, left.quantity, left.used) == ("yoghurt.1", "drain", 5, 4)


def test_whey_is_there_when_the_draining_ends_and_keeps_by_its_own_limit() -> None:
    week = with_whey(yoghurt(), whey(limit="6 h"), caramel())
    drained, cooked = "yoghurt.1/drain:run.end", "caramel.1/cook:run.start"
    assert week.bounds(drained, cooked) == (0, 12)  # half hours
    (hold,) = [h for h in week.holds("share") if h.step == "drain"]
    assert (hold.source, hold.consumer, hold.shelves) == ("yoghurt.1", "caramel.1/cook", 2)
    assert (hold.start, hold.end) == (week.point(drained), week.point(cooked))


def test_caramel_cannot_do_without_the_batch_that_gives_its_whey() -> None:
    week = with_whey(yoghurt(), whey(), caramel())
    inputs = week.problem.batches[week.compiled.batch["caramel.1"]].inputs
    assert inputs == (week.compiled.batch["yoghurt.1"],)
    assert week.compiled.batch["caramel.1"] < week.compiled.batch["yoghurt.1"]


def test_whey_that_somebody_can_make_is_made_only_as_far_as_it_is_lacking() -> None:
    boil = step("boil", "1 h", hands=1)
    week = with_whey(yoghurt(), whey(boil), caramel("7 portions"))
    assert week.share("yoghurt.1", "caramel.1") == 5
    assert week.batch("whey.1").quantity == week.share("whey.1", "caramel.1") == 2
    assert len(week.batches_of("yoghurt")) == 1


def test_whey_that_nobody_makes_calls_for_yoghurt_that_nobody_eats() -> None:
    week = with_whey(yoghurt(), whey(), caramel("7 portions"))
    taken = {s.source: s.quantity for s in week.work.shares if s.component == "whey"}
    assert taken == {"yoghurt.1": 2, "yoghurt.2": 5}  # the one for the whey is needed sooner
    assert week.batch("yoghurt.1").quantity == 4
    assert week.batch("yoghurt.1").leftover == 4
    assert all(one.used == taken[one.batch] for one in week.work.by_products)


def test_yoghurt_is_made_for_its_whey_alone_in_time_for_it() -> None:
    """The whey must be out by 16:30, so the yoghurt is hung by 06:30."""
    week = with_whey(yoghurt(), whey(), caramel(), dishes=[dish("plate", "caramel")])
    batch = week.batch("yoghurt.1")
    assert (batch.quantity, batch.leftover) == (8, 8)
    assert batch.stages[0].latest == week.batch("caramel.1").stages[0].latest - 600


def test_whey_of_the_wrong_day_is_poured_away() -> None:
    """What is drained for Thursday is too old on Saturday: more is drained for its whey."""
    fresh = component(
        "caramel", step("cook", "1 h", hands=1, takes=[take("whey", "4 portions")]),
        keeps=keep("2 h"),
    )
    week = with_whey(
        yoghurt(), whey(limit="6 h"), fresh,
        dishes=[dish("plate", "yoghurt"), dish("sweet", "caramel")],
        events=[event("early", f"{EVE} 12:00", "plate"), event("late", f"{DAY} 22:00", "sweet")],
    )
    assert sorted(b.id for b in week.batches_of("yoghurt")) == ["yoghurt.1", "yoghurt.2"]
    (share,) = [s for s in week.work.shares if s.component == "whey"]
    assert share.source == "yoghurt.2"
    assert [one.used for one in week.work.by_products] == [0, 4]


def test_whey_on_hand_goes_first() -> None:
    jar = {"id": "jar", "component": "whey", "quantity": "3 portions", "made": f"{EVE} 19:00",
           "store": "walk-in"}  # fmt: skip
    week = with_whey(
        yoghurt(), whey(), caramel(), week={"plan_from": f"{EVE} 20:00", "on_hand": [jar]}
    )
    assert week.share("jar", "caramel.1") == 3
    assert week.share("yoghurt.1", "caramel.1") == 1


def test_a_running_batch_still_gives_what_its_steps_to_come_give() -> None:
    running = {"id": "tuesday", "component": "yoghurt", "quantity": "10 portions",
               "step": "drain", "started": f"{EVE} 19:00"}  # fmt: skip
    week = with_whey(
        yoghurt(), whey(), caramel(), week={"plan_from": f"{EVE} 20:00", "in_progress": [running]}
    )
    assert week.share("tuesday", "caramel.1") == 4
    done = running | {"step": "season", "started": f"{EVE} 20:00"}
    week = with_whey(
        yoghurt(), whey(), caramel(), week={"plan_from": f"{EVE} 20:00", "in_progress": [done]}
    )
    assert week.share("tuesday", "caramel.1") == 0


def test_whey_on_hand_alone_may_not_be_enough() -> None:
    jar = {"id": "jar", "component": "whey", "quantity": "3 portions", "made": f"{EVE} 19:00"}
    with pytest.raises(BadInput, match=r"caramel.1 takes 1 pieces more of it than there is"):
        with_whey(
            whey(), caramel(), dishes=[dish("plate", "caramel")],
            week={"plan_from": f"{EVE} 20:00", "on_hand": [jar]},
        )


def test_whey_of_several_loads_waits_from_the_first_and_is_used_after_the_last() -> None:
    tray = {"id": "tray", "capacity": 1}
    drain = DRAIN | {"in_loads": True, "on": [{"equipment": "tray", "per": "5 portions"}]}
    week = with_whey(yoghurt(drain), whey(limit="20 h"), caramel(), equipment=[tray])
    start = "caramel.1/cook:run.start"
    assert week.bounds("yoghurt.1/drain/2:run.end", start)[0] == 0
    assert week.bounds("yoghurt.1/drain/1:run.end", start)[1] == 40
    (hold,) = [h for h in week.holds("share") if h.step == "drain"]
    assert hold.start == week.point("yoghurt.1/drain/1:run.end")

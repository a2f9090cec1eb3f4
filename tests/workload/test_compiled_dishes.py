"""Dishes as primitives: plating, first plate away, diets, duties, deliveries, who goes short."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.problems import BadInput
from scheduler.workload.primitives import HORIZON_START
from tests.weeks.tiny import (
    DAY,
    EVE,
    component,
    cook,
    dish,
    event,
    keep,
    step,
    take,
    week_of,
)
from tests.workload.weeks import Week

SOUP = component("soup", step("cook", "1 h", hands=1))
AWAY = (24 + 18) * 2
"""18:00 on Friday, half hours from Thursday midnight."""


def plated(guests: int = 10, course: dict[str, Any] | None = None, **rest: Any) -> Week:
    menu = {"dish": "plate", **(course or {})}
    return Week(
        week_of(
            SOUP,
            dishes=[dish("plate", "soup", **rest)],
            events=[event("supper", "18:00", menu, guests=guests)],
        )
    )


def service(week: Week, minute: int = AWAY * 30) -> str:
    return f"service/supper/{minute}"


# -- plating ------------------------------------------------------------------------------


def test_a_dish_that_cannot_wait_is_plated_from_the_first_plate_on() -> None:
    """100 plates at 80 an hour: 75 min -> 3 half hours."""
    week = plated(100, per_hour=80)
    task = week.task("supper.plate/plating:run")
    assert (task.least, task.most) == (3, 3)
    assert week.bounds("supper.plate/plating:run.start", f"{service(week)}.start") == (0, 0)
    away = week.task(service(week))
    assert (away.earliest, away.latest, away.least) == (AWAY, AWAY, 0)


def test_a_dish_that_may_wait_is_plated_whole_before_and_stands_on_shelves() -> None:
    week = plated(
        100, per_hour=80, keeps=keep("4 h", "chilled", best_until="2 h", per_shelf="24 portions")
    )
    (link,) = week.links("supper.plate/plating:run.start", f"{service(week)}.start")
    assert (link.least, link.most) == (3, 8)
    assert link.band is not None and (link.band.low, link.band.high, link.band.weight) == (
        0,
        120,
        1,
    )
    (hold,) = week.holds("plated")
    assert (hold.shelves, hold.start) == (5, link.before)


def test_courses_and_waves_go_at_their_own_moments() -> None:
    waves = [{"share": "50 %", "after": "0 min"}, {"share": "50 %", "after": "45 min"}]
    week = plated(course={"after": "1 h", "waves": waves})
    assert [b.service for b in week.work.batches if b.dish] == [AWAY * 30 + 60, AWAY * 30 + 90]


def test_steps_of_a_dish_come_at_once_before_its_plating() -> None:
    week = plated(steps=[step("crisp", "30 min", hands=1)])
    assert week.order("supper.plate") == ["crisp:run", "plating:run"]
    bounds = week.bounds("supper.plate/crisp:run.end", "supper.plate/plating:run.start")
    assert bounds == (0, 0)


def test_the_last_step_of_a_dish_may_wait_for_its_plating() -> None:
    week = plated(steps=[step("crisp", "30 min", hands=1, then=keep("1 h"))])
    bounds = week.bounds("supper.plate/crisp:run.end", "supper.plate/plating:run.start")
    assert bounds == (0, 2)


def test_diet_plates_are_done_before_the_others_begin_and_not_long_before() -> None:
    week = plated(course={"diets": [{"id": "vegan", "count": 2}]})
    bounds = week.bounds("supper.plate.vegan/plating:run.end", "supper.plate/plating:run.start")
    assert bounds == (0, 1)  # diets_ahead is 30 min


def test_diet_plates_that_may_wait_wait_no_longer_than_the_dish_may() -> None:
    week = plated(course={"diets": [{"id": "vegan", "count": 2}]}, keeps=keep("4 h"))
    start = "supper.plate.vegan/plating:run.start"
    assert week.bounds(start, f"{service(week)}.start") == (1, 8)
    before = week.bounds("supper.plate.vegan/plating:run.end", "supper.plate/plating:run.start")
    assert before == (0, None)


# -- who goes short --------------------------------------------------------------------------


def test_as_many_go_short_as_a_lost_batch_was_for() -> None:
    """10 plates of 2 pieces each: 12 pieces of the first batch are for 6, 8 of the second for 4."""
    rolls = component("rolls", step("bake", "1 h"), batch={"most": "10 portions"})
    week = Week(week_of(rolls, dishes=[dish("plate", take("rolls", "2 pieces"))]))
    (plate,) = week.problem.plates
    index = week.compiled.batch
    assert dict(plate.lacks) == {
        index["supper.plate"]: 10,
        index["rolls.1"]: 5,
        index["rolls.2"]: 5,
    }


def test_ranks_of_events_are_told_apart() -> None:
    document = week_of(
        SOUP,
        dishes=[dish("plate", "soup")],
        events=[event("tea", "16:00", "plate", rank=3), event("gala", "18:00", "plate", rank=1)],
    )
    week = Week(document)
    assert week.problem.ranks == 3
    assert [p.rank for p in week.problem.plates] == [3, 1]


# -- duties -------------------------------------------------------------------------------------


def duty(hours: str, people: int = 1, **rest: Any) -> dict[str, Any]:
    return {
        "id": "deliveries",
        "days": ["daily"],
        "hours": hours,
        "section": "stove",
        "people": people,
        **rest,
    }


def with_duty(entry: dict[str, Any], **rest: Any) -> Week:
    return Week(week_of(SOUP, kitchen={"duties": [entry]}, **rest))


def test_standing_duties_are_there_at_their_hours_from_planning_on() -> None:
    week = with_duty(duty("06:00-08:00"), week={"plan_from": f"{EVE} 07:00"})
    first = week.task("deliveries/2027-05-06")
    assert (first.earliest, first.latest) == (14, 16)
    second = week.task("deliveries/2027-05-07")
    assert (second.earliest, second.latest) == (60, 64)
    assert week.problem.batches[second.batch].fixed


def test_a_duty_takes_equipment_and_shelves_as_well() -> None:
    entry = duty(
        "06:00-08:00",
        equipment=[{"equipment": "burner", "amount": 2}],
        stores=[{"store": "walk-in", "shelves": 3}],
    )
    week = with_duty(entry, equipment=[{"id": "burner", "units": 4}])
    assert [u.amount for u in week.uses("deliveries/2027-05-06")] == [2, 3]


def test_a_duty_nobody_is_there_for_is_refused_with_its_hours() -> None:
    with pytest.raises(BadInput, match="06:00 to 08:00"):
        with_duty(duty("06:00-08:00"), people=[cook("ana", "07:00-20:00")])


def test_two_duties_that_need_the_same_cook_at_once_are_refused() -> None:
    other = {**duty("07:00-09:00"), "id": "breakfast"}
    document = week_of(SOUP, kitchen={"duties": [duty("06:00-08:00"), other]})
    with pytest.raises(BadInput, match="at once"):
        Week(document)


# -- deliveries -----------------------------------------------------------------------------------


def fish(*deliveries: dict[str, Any], events: tuple[str, ...] = ("12:00", "18:00")) -> Week:
    """Each event takes 10 portions of 200 g of fish, cured for an hour."""
    cured = component(
        "cured",
        step("cure", "1 h", takes=[{"ingredient": "fish", "amount": "2 kg"}]),
        keeps=keep("2 h"),
    )
    return Week(
        week_of(
            cured,
            dishes=[dish("plate", "cured")],
            events=[event(f"e{i}", at, "plate") for i, at in enumerate(events)],
            week={"deliveries": list(deliveries)},
        )
    )


def arriving(name: str, at: str, quantity: str | None = None, **rest: Any) -> dict[str, Any]:
    return {"id": name, "ingredient": "fish", "at": at, **rest} | (
        {"quantity": quantity} if quantity else {}
    )


def test_a_step_waits_for_the_delivery_of_what_it_takes() -> None:
    week = fish(arriving("friday", f"{DAY} 08:10"))
    assert week.task("cured.1/cure:run").earliest == 65  # 08:30
    assert week.task("cured.2/cure:run").earliest == 65


def test_what_is_in_house_and_arrives_first_goes_to_what_must_begin_first() -> None:
    """2 kg in house are the first batch's; the second waits for the next van."""
    week = fish(
        arriving("thursday", f"{EVE} 10:00", "1 kg", in_house="2 kg"),
        arriving("friday", f"{DAY} 09:00", "5 kg"),
    )
    assert week.task("cured.1/cure:run").earliest == 0
    assert week.task("cured.2/cure:run").earliest == 66


def test_what_keeps_only_so_long_after_arrival_is_used_by_then() -> None:
    week = fish(arriving("friday", f"{DAY} 08:00", at_most="6 h"), events=("12:00",))
    (link,) = [
        x
        for x in week.problem.links
        if x.before.task == HORIZON_START and x.after == week.point("cured.1/cure:run.start")
    ]
    assert link.most == 76  # 14:00


def test_crates_stand_on_their_shelves_until_each_part_is_used_and_the_rest_to_its_limit() -> None:
    """6 kg on 3 shelves: 2 kg for each of two tasks is a shelf each, and so is what is left."""
    crates = arriving("friday", f"{DAY} 08:00", "6 kg", zone="chilled", shelves=3, at_most="12 h")
    week = fish(crates)
    came, spare = week.task("delivery/friday"), week.task("delivery/friday/spare")
    assert (came.earliest, came.latest, came.most) == (64, 64, 0)
    assert (spare.earliest, spare.latest) == (64, 88)  # 20:00
    holds = {h.consumer: h for h in week.compiled.holds if h.source == "friday"}
    assert {n: (h.kind, h.quantity, h.shelves) for n, h in holds.items()} == {
        "cured.1/cure": ("delivered", 2000, 1),
        "cured.2/cure": ("delivered", 2000, 1),
        None: ("spare", 2000, 1),
    }
    assert holds["cured.1/cure"].start == week.point("delivery/friday.start")
    assert holds["cured.1/cure"].end == week.point("cured.1/cure:run.start")


def test_fish_that_is_past_its_limit_is_left_for_what_comes_fresh() -> None:
    """What came at midnight would be too old by the evening, which takes what came at nine."""
    week = fish(
        arriving("early", f"{DAY} 00:00", "4 kg", zone="chilled", shelves=2, at_most="12 h"),
        arriving("late", f"{DAY} 09:00", "4 kg", zone="chilled", shelves=2, at_most="1 d"),
    )
    holds = {h.consumer: h for h in week.compiled.holds if h.kind == "delivered"}
    assert {c: h.source for c, h in holds.items()} == {
        "cured.1/cure": "early", "cured.2/cure": "late",
    }  # fmt: skip


def test_old_crates_are_not_left_over_where_all_are_needed() -> None:
    """Noon could have the fresh ones, but then the evening would be left with old ones."""
    week = fish(
        arriving("early", f"{DAY} 00:00", "2 kg", zone="chilled", shelves=2, at_most="10 h"),
        arriving("late", f"{DAY} 09:00", "2 kg", zone="chilled", shelves=2, at_most="1 d"),
    )
    holds = {h.consumer: h for h in week.compiled.holds if h.kind == "delivered"}
    assert {c: h.source for c, h in holds.items()} == {
        "cured.1/cure": "early", "cured.2/cure": "late",
    }  # fmt: skip


def test_what_can_be_had_no_other_way_is_used_before_its_limit_though_early() -> None:
    week = fish(arriving("early", f"{DAY} 00:00", "4 kg", at_most="12 h"))
    last = [
        x.most for x in week.problem.links if x.after == week.point("cured.2/cure:run.start")
        and x.before.task == HORIZON_START
    ]  # fmt: skip
    assert last == [72]  # noon, although the evening's latest start is 14:30


def test_what_never_comes_is_noted_with_the_ingredient() -> None:
    week = fish(arriving("friday", f"{DAY} 08:00", "3 kg"))
    assert [name for name, _ in week.compiled.short.values()] == ["fish"]

"""Plating, counts, diets, courses and waves: a tiny week for each."""

from __future__ import annotations

from typing import Any

from tests.weeks.checks import finds_no_place, keeps_the_rule, planned, served, task
from tests.weeks.tiny import (
    DAY,
    Document,
    component,
    cook,
    dish,
    event,
    in_oven,
    keep,
    oven,
    span,
    step,
    store,
    take,
    visit,
    week_of,
)


def minutes(at: str) -> int:
    """Minutes of a time on the day, from the beginning of the eve."""
    hour, minute = map(int, at.split(":"))
    return 24 * 60 + hour * 60 + minute


def salad() -> Document:
    return component("salad", step("wash", "30 min", hands=1), keeps=keep(best_until="24 h"))


# -- semantics 35 -------------------------------------------------------------------


def plated(keeps: Document | None, pia: str = "00:00-24:00", per_hour: int = 10) -> Document:
    more = {"keeps": keeps} if keeps else {}
    document = week_of(salad(), dishes=[dish("plate", "salad", per_hour=per_hour, **more)])
    document["kitchen"]["people"][0] = cook("pia", pia, sections={"pass": "lead"}, days=DAY)
    return document


def test_a_dish_that_may_not_wait_is_plated_from_the_first_plate_away() -> None:
    ahead = {"at_most": "3 h", "best_from": "3 h"}
    plan = keeps_the_rule(plated(None), plated(ahead), "first-plate")
    plating = task(plan, "supper.plate/plating")
    assert (plating.start, plating.end) == (minutes("18:00"), minutes("19:00"))


def test_a_dish_that_may_wait_is_plated_in_time_and_not_too_early() -> None:
    keeps_the_rule(
        plated({"at_most": "90 min", "best_from": "90 min"}),
        plated({"at_most": "3 h", "best_from": "3 h"}),
        "plated-hold",
    )
    waits = task(served(plated({"at_most": "3 h"})), "supper.plate/plating")
    assert waits.end == minutes("18:00")


def test_a_dish_that_nobody_is_there_to_plate_is_missing() -> None:
    finds_no_place(plated(None, "08:00-18:00"), "supper.plate")
    finds_no_place(plated({"at_most": "2 h"}, "08:00-15:00"), "supper.plate")


def test_plates_that_wait_take_their_shelves() -> None:
    """Ten plates, five on a shelf; one shelf is not enough, and nothing else is short of one."""
    def shelves(count: int) -> Document:
        document = plated({"at_most": "3 h", "zone": "chilled", "per_shelf": "5 portions"})
        document["kitchen"]["stores"] = [store("walk-in", "chilled", count)]
        return document

    assert [h.shelves for h in served(shelves(2)).holds if h.kind == "plated"] == [2]
    finds_no_place(shelves(1), "supper.plate")


def test_plating_takes_as_long_as_the_plates_need() -> None:
    keeps_the_rule(plated(None, per_hour=10), plated(None, per_hour=20), "law")


def test_components_are_ready_when_plating_starts_and_not_when_it_ends() -> None:
    late = plated(None)
    late["kitchen"]["people"][1] = cook("ana", "18:00-19:00", days=DAY)
    finds_no_place(late, "salad.1")


def warmed(pia: str = "00:00-24:00", then: Document | None = None) -> Document:
    warm = step("warm", "60 min", load=visit("30 min", [{"section": "pass"}]),
                on=[in_oven(140)], takes=[take("salad")])  # fmt: skip
    if then:
        warm["then"] = then
    document = week_of(
        salad(), dishes=[dish("plate", steps=[warm])], equipment=[oven(alone="yes")]
    )
    document["kitchen"]["people"][0] = cook("pia", pia, sections={"pass": "lead"}, days=DAY)
    return document


def test_what_is_warmed_is_plated_at_once() -> None:
    cooled = {"not_before": "60 min", "at_most": "60 min"}
    plan = keeps_the_rule(warmed(), warmed(then=cooled), "at-once")
    assert task(plan, "supper.plate/warm").start == minutes("16:30")


def test_a_dish_that_cannot_be_warmed_in_time_is_missing() -> None:
    finds_no_place(warmed("17:00-20:00"), "supper.plate")


# -- semantics 54 -------------------------------------------------------------------


def counted(guests: int = 10, margin: str | None = "0 %", **course: Any) -> Document:
    """Six minutes of work a portion, by one cook with a short day."""
    supper = event("supper", "18:00", {"dish": "plate", **course}, guests=guests)
    if margin is None:
        del supper["margin"]
    else:
        supper["margin"] = margin
    return week_of(
        component("roll", step("roll", span("0 min", plus="6 min", per="1 portion"), hands=1)),
        dishes=[dish("plate", "roll")],
        people=[cook("ana", "14:00-18:00", days=DAY)],
        events=[supper],
    )


def portions(document: Document) -> list[int]:
    """Portions of each batch of a dish, in the order of the plan."""
    return [int(b.quantity.base) for b in served(document).batches if b.dish]


def test_every_guest_is_counted() -> None:
    keeps_the_rule(counted(20), counted(10), "menu")
    assert portions(counted(20)) == [20]


def test_more_guests_than_one_cook_can_roll_for_are_told_before_service() -> None:
    plan = finds_no_place(counted(50), "roll.1")
    assert [u.portions for u in plan.unserved] == [50]


def test_the_margin_is_made() -> None:
    """10 % of 20 are 2 more; the published default for so few guests is the same 10 %.

    Source of the default: slides of a catering textbook's chapter on
    production, second hand; here it is only that the kitchen's own is used.
    """
    keeps_the_rule(counted(20, "10 %"), counted(20, "0 %"), "menu")
    assert portions(counted(20, "10 %")) == [22]
    assert portions(counted(20, None)) == [22]


def test_crew_meals_come_on_top_without_a_margin() -> None:
    keeps_the_rule(counted(20, "10 %", crew=3), counted(20, "10 %"), "menu")
    assert portions(counted(20, "10 %", crew=3)) == [25]


def test_a_choice_is_counted_and_not_everybody_gets_it() -> None:
    """A third of twenty are seven plates: 6.67, rounded up."""
    assert portions(counted(20, "0 %", share="33.4 %")) == [7]
    assert portions(counted(20, "0 %", count=4)) == [4]
    assert portions(counted(10, "0 %", per=2)) == [20]


def with_diet(ahead: str, pia: str = "00:00-24:00", count: int = 2) -> Document:
    """Two plates without nuts, plated by one cook before the other eight."""
    plain = component("seeds", step("toast", "30 min", hands=1), keeps=keep(best_until="24 h"))
    nuts = component("nuts", step("toast", "30 min", hands=1), keeps=keep(best_until="24 h"))
    course = {"dish": "plate", "diets": [{"id": "no-nuts", "count": count,
                                          "swap": {"nuts": "seeds"}}]}  # fmt: skip
    if not count:
        del course["diets"]
    document = week_of(
        plain, nuts, dishes=[dish("plate", "nuts", per_hour=20), dish("snack", "seeds")],
        events=[event("supper", "18:00", course), event("late", "21:00", "snack")],
        kitchen={"diets_ahead": ahead},
    )  # fmt: skip
    document["kitchen"]["people"][0] = cook(
        "pia", {"days": [DAY], "hours": "00:00-24:00", "breaks": [pia]}
        if pia != "00:00-24:00" else pia,
        sections={"pass": "lead"},
    )  # fmt: skip
    return document


def test_diet_plates_are_made_apart_and_before_the_others() -> None:
    plan = served(with_diet("30 min"))
    diet, rest = task(plan, "supper.plate.no-nuts/plating"), task(plan, "supper.plate/plating")
    assert diet.quantity.base + rest.quantity.base == 10
    assert rest.start - 30 <= diet.end <= rest.start
    assert {s.source for s in plan.shares if s.consumer == diet.batch} == {"seeds.1"}
    keeps_the_rule(with_diet("30 min"), with_diet("30 min", count=0), "menu")


def test_diet_plates_are_not_made_long_before_the_others() -> None:
    """She has a break before service: an hour ahead is too early where half an hour is the most."""
    away = "17:00-18:00"
    finds_no_place(with_diet("30 min", away), "supper.plate.no-nuts")
    plan = served(with_diet("2 h", away))
    assert task(plan, "supper.plate.no-nuts/plating").end <= minutes("17:00")


def test_diet_plates_after_the_others_began_are_refused() -> None:
    keeps_the_rule(
        with_diet("30 min"), with_diet("4 h", "16:30-18:00"), "diets-first"
    )


# -- semantics 55 -------------------------------------------------------------------


def at_course(after: str, pia: str = "00:00-24:00") -> Document:
    document = week_of(
        salad(), dishes=[dish("plate", "salad")],
        events=[event("supper", "18:00", {"dish": "plate", "after": after})],
    )  # fmt: skip
    document["kitchen"]["people"][0] = cook("pia", pia, sections={"pass": "lead"}, days=DAY)
    return document


def test_each_course_goes_out_at_its_own_time() -> None:
    plan = keeps_the_rule(at_course("60 min"), at_course("0 min"), "first-plate")
    assert task(plan, "supper.plate/plating").start == minutes("19:00")


def test_a_course_after_everybody_has_gone_home_is_missing() -> None:
    finds_no_place(at_course("60 min", "08:00-19:00"), "supper.plate")


def in_waves(first: str, second: str, pia: str = "00:00-24:00") -> Document:
    waves = [{"after": "0 min", "share": first}, {"after": "90 min", "share": second}]
    document = week_of(
        salad(), dishes=[dish("plate", "salad")],
        events=[event("supper", "18:00", {"dish": "plate", "waves": waves}, guests=11)],
    )  # fmt: skip
    document["kitchen"]["people"][0] = cook("pia", pia, sections={"pass": "lead"}, days=DAY)
    return document


def test_a_reception_goes_out_in_waves() -> None:
    """Eleven guests in halves: six and then five, cumulative and rounded up."""
    assert portions(in_waves("50 %", "50 %")) == [6, 5]
    plan = keeps_the_rule(in_waves("50 %", "50 %"), in_waves("60 %", "40 %"), "menu")
    assert task(plan, "supper.plate.w2/plating").start == minutes("19:30")


def test_the_second_wave_is_missing_when_nobody_is_left() -> None:
    plan = finds_no_place(in_waves("50 %", "50 %", "08:00-19:00"), "supper.plate.w2")
    assert [u.portions for u in plan.unserved] == [5]


def test_the_event_that_matters_more_is_served_first() -> None:
    """One cook, one hour, two events at the same time: the first rank gets it."""
    def ranked(early: int, late: int) -> Document:
        return week_of(
            component("red", step("stir", "60 min", hands=1)),
            component("white", step("stir", "60 min", hands=1)),
            dishes=[dish("soup", "red"), dish("broth", "white")],
            people=[cook("ana", "17:00-18:00", days=DAY)],
            events=[event("ball", "18:00", "soup", rank=early, guests=5),
                    event("club", "18:30", "broth", rank=late, guests=9)],
        )  # fmt: skip

    assert {m.batch for m in planned(ranked(1, 2)).missing} == {"white.1"}
    assert {m.batch for m in planned(ranked(2, 1)).missing} == {"red.1"}
    assert {m.batch for m in planned(ranked(1, 1)).missing} == {"red.1"}

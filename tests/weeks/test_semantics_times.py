"""Rounding, intervals, ranges, waits, tending and adding: a tiny week for each."""

from __future__ import annotations

from typing import Any

from tests.weeks.checks import finds_no_place, keeps_the_rule, served, task
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    keep,
    kind,
    span,
    step,
    visit,
    week_of,
)

LARDER = [{"people": 1, "section": "larder"}]


def ben(*hours: str) -> Document:
    """A cook of the larder on the day itself."""
    return cook("ben", *hours, sections={"larder": "cook"}, days=DAY)


# -- semantics 1 --------------------------------------------------------------------


def one_hour_of_hands(least: str) -> Document:
    return week_of(
        component("dough", step("knead", span(least), hands=1)),
        people=[cook("ana", "17:00-18:00", days=DAY)],
    )


def test_dough_is_not_kneaded_short_because_the_grid_is_coarse() -> None:
    """40 min on a grid of 30 are planned as 60, never as 30."""
    plan = keeps_the_rule(one_hour_of_hands("40 min"), one_hour_of_hands("20 min"), "law")
    knead = task(plan, "dough.1/knead")
    assert knead.law_end - knead.law_start == 60


def test_dough_that_needs_more_than_the_shift_has_is_missing() -> None:
    finds_no_place(one_hour_of_hands("70 min"), "dough.1")


def from_now(plan_from: str, people: list[Document] | None = None) -> Document:
    return week_of(
        component("dough", step("knead", "60 min", hands=1), keeps=keep("24 h", best_from="8 h")),
        people=people,
        week={"plan_from": plan_from},
    )


def test_nothing_is_planned_before_now() -> None:
    keeps_the_rule(from_now(f"{DAY} 12:10"), from_now(f"{DAY} 06:00"), "now")


def test_what_had_to_begin_before_now_is_missing() -> None:
    early = [cook("ana", "08:00-12:00", days=DAY)]
    finds_no_place(from_now(f"{DAY} 12:10", early), "dough.1")


# -- semantics 2 --------------------------------------------------------------------


def two_in_a_smoker(places: int, hours: str) -> Document:
    def smoked(name: str) -> Document:
        return component(
            name,
            step(
                "smoke", "2 h", load=visit("30 min"), unload=visit("30 min"),
                on=[{"equipment": "smoker"}],
            ),
        )  # fmt: skip

    return week_of(
        smoked("ham"), smoked("trout"),
        people=[cook("ana", hours, days=DAY), cook("bea", hours, days=DAY)],
        equipment=[kind("smoker", capacity=places)],
    )  # fmt: skip


def test_a_smoker_is_taken_while_it_is_loaded_and_emptied() -> None:
    """Two hours' law, half an hour to load and to unload: the other starts three hours earlier."""
    plan = keeps_the_rule(
        two_in_a_smoker(1, "06:00-18:00"), two_in_a_smoker(2, "06:00-18:00"), "equipment-full"
    )
    early, late = sorted((t for t in plan.tasks if t.step == "smoke"), key=lambda t: t.start)
    assert early.end <= late.start
    assert plan.terms.quality == 180


def test_two_smokings_do_not_fit_into_five_hours() -> None:
    finds_no_place(two_in_a_smoker(1, "13:00-18:00"), "ham.1", "trout.1")


# -- semantics 3 --------------------------------------------------------------------


def churned_then_shaped(ana: str, then: Document | None) -> Document:
    churn = step("churn", "30 min", hands=1)
    if then is not None:
        churn["then"] = then
    return week_of(
        component("ice", churn, step("shape", "30 min", hands=LARDER)),
        people=[cook("ana", ana, days=DAY), ben("12:00-18:00")],
    )


def test_ice_is_shaped_at_once_though_it_would_be_fresher_later() -> None:
    plan = keeps_the_rule(
        churned_then_shaped("08:00-12:00", None),
        churned_then_shaped("08:00-12:00", {"at_most": "8 h", "best_until": "8 h"}),
        "at-once",
    )
    assert task(plan, "ice.1/shape").start == task(plan, "ice.1/churn").end


def test_ice_that_nobody_can_shape_at_once_is_missing() -> None:
    finds_no_place(churned_then_shaped("08:00-11:00", None), "ice.1")


def test_a_wait_between_two_steps_is_not_longer_than_it_may_be() -> None:
    keeps_the_rule(
        churned_then_shaped("08:00-11:30", {"at_most": "60 min"}),
        churned_then_shaped("08:00-11:30", {"at_most": "8 h", "best_until": "8 h"}),
        "wait-limit",
    )


def test_what_may_not_wait_from_one_shift_to_the_next_is_missing() -> None:
    finds_no_place(churned_then_shaped("08:00-10:00", {"at_most": "60 min"}), "ice.1")


def rested(then: Document, plan_from: str = f"{EVE} 00:00") -> Document:
    return week_of(
        component(
            "pasta", step("mix", "30 min", hands=1, then=then), step("roll", "30 min", hands=1)
        ),
        week={"plan_from": plan_from},
    )


def test_dough_rests_as_long_as_it_must() -> None:
    keeps_the_rule(
        rested({"not_before": "4 h", "at_most": "6 h"}), rested({"at_most": "6 h"}), "not-before"
    )


def test_dough_that_can_no_longer_rest_is_missing() -> None:
    finds_no_place(
        rested({"not_before": "4 h", "at_most": "6 h"}, plan_from=f"{DAY} 14:30"), "pasta.1"
    )


# -- semantics 4 --------------------------------------------------------------------


def braise_over_the_afternoon(time: Document) -> Document:
    return week_of(
        component("shank", step("braise", time, load=visit("30 min"),
                                unload=visit("30 min", LARDER))),
        people=[cook("ana", "08:00-12:00", days=DAY), ben("16:00-22:00")],
        service="22:00",
    )  # fmt: skip


def test_a_braise_is_not_left_longer_than_it_stands() -> None:
    keeps_the_rule(
        braise_over_the_afternoon(span("2 h", "6 h", best="6 h")),
        braise_over_the_afternoon(span("2 h", "10 h", best="10 h")),
        "law",
    )


def test_a_braise_that_nobody_can_take_out_in_time_is_missing() -> None:
    finds_no_place(braise_over_the_afternoon(span("2 h", "3 h")), "shank.1")


def test_a_braise_is_not_taken_out_before_it_is_done() -> None:
    """Loaded and unloaded by one cook with a short shift: the law fits, or it is left out."""
    def short(least: str) -> Document:
        return week_of(
            component("shank", step("braise", span(least, "8 h"), load=visit("30 min"),
                                    unload=visit("30 min"))),
            people=[cook("ana", "13:00-18:00", days=DAY)],
        )  # fmt: skip

    keeps_the_rule(short("4 h"), short("2 h"), "law")
    finds_no_place(short("5 h"), "shank.1")


# -- semantics 5 --------------------------------------------------------------------


def fed_starter(law: str, every: str, tolerance: str) -> Document:
    return week_of(
        component(
            "starter",
            step("ferment", law, tend=[visit("30 min", every=every, give_or_take=tolerance)]),
        ),
        people=[cook("ana", "08:00-20:00")],
        service="10:00",
    )


def test_a_starter_is_fed_in_time_and_so_ferments_while_somebody_is_there() -> None:
    """Overnight it would be ready just before service, with nobody there to feed it."""
    plan = keeps_the_rule(
        fed_starter("8 h", "4 h", "60 min"), fed_starter("8 h", "12 h", "60 min"), "tending"
    )
    feeds = task(plan, "starter.1/ferment").visits
    assert feeds
    assert all(v.kind == "tend" for v in feeds)


def test_a_starter_that_would_have_to_be_fed_at_night_is_missing() -> None:
    finds_no_place(fed_starter("24 h", "4 h", "60 min"), "starter.1")


# -- semantics 6 --------------------------------------------------------------------


def with_wine_added(tolerance: str, **shift: Any) -> Document:
    hours = {"days": [DAY], "hours": "10:00-18:00", **shift}
    return week_of(
        component(
            "sauce",
            step("simmer", "3 h", add=[visit("30 min", after="60 min", give_or_take=tolerance)]),
        ),
        people=[cook("ana", hours)],
    )


def test_wine_goes_in_when_the_recipe_says_and_not_after_the_break() -> None:
    away = {"breaks": ["16:00-17:00"]}
    keeps_the_rule(
        with_wine_added("0 min", **away), with_wine_added("90 min", **away), "adding"
    )


def test_a_sauce_is_missing_when_nobody_is_there_to_add_the_wine() -> None:
    finds_no_place(with_wine_added("0 min", hours="17:00-18:00"), "sauce.1")


# -- semantics 48 -------------------------------------------------------------------


def ground(time: Document, plan_from: str = f"{EVE} 00:00", **rest: Any) -> Document:
    return week_of(
        component("paste", step("grind", time, on=[{"equipment": "grinder"}], **rest)),
        equipment=[kind("grinder")],
        week={"plan_from": plan_from},
    )


def test_where_the_food_decides_the_longest_time_is_set_aside() -> None:
    keeps_the_rule(
        ground(span("4 h", "8 h", decides="it")), ground(span("4 h", "8 h")), "it-decides"
    )


def test_what_may_take_longer_than_there_is_time_is_missing() -> None:
    finds_no_place(
        ground(span("4 h", "8 h", decides="it"), plan_from=f"{DAY} 12:00"), "paste.1"
    )


def tender(keeps: Document, hours: str = "00:00-24:00") -> Document:
    return week_of(
        component(
            "tongue", step("poach", span("4 h", "8 h", decides="it"), unload=visit("30 min")),
            keeps=keeps,
        ),
        people=[cook("ana", hours, days=DAY)],
    )  # fmt: skip


def test_a_hold_counts_from_the_shortest_where_the_food_decides() -> None:
    """Six hours' hold, and it may have been done four hours before: two are left."""
    keeps_the_rule(
        tender(keep("6 h", best_from="2 h")), tender(keep("24 h", best_from="5 h")), "hold-limit"
    )


def test_what_may_be_done_long_before_anybody_can_use_it_is_missing() -> None:
    finds_no_place(tender(keep("6 h"), "06:00-12:00"), "tongue.1")


# -- semantics 50 -------------------------------------------------------------------


def ripened(keeps: Document, plan_from: str = f"{EVE} 00:00") -> Document:
    return week_of(
        component("terrine", step("make", "60 min", hands=1), keeps=keeps),
        week={"plan_from": plan_from},
    )


def test_a_terrine_is_not_served_before_it_has_ripened() -> None:
    keeps_the_rule(ripened(keep(not_before="6 h")), ripened(keep()), "not-before")


def test_a_terrine_that_cannot_ripen_in_time_is_missing() -> None:
    finds_no_place(ripened(keep(not_before="6 h"), plan_from=f"{DAY} 12:00"), "terrine.1")


def test_inside_the_best_band_earliness_costs_nothing() -> None:
    """Made twelve hours before, because nobody is there later, and held for nothing."""
    def made_by_six(keeps: Document) -> Document:
        return week_of(
            component("terrine", step("make", "60 min", hands=1), keeps=keeps),
            people=[cook("ana", "05:00-06:00", days=DAY)],
        )

    band = {"best_from": "10 h", "best_until": "14 h"}
    assert served(made_by_six(keep("24 h", **band))).terms.quality == 0
    assert served(made_by_six(keep("24 h", best_until="10 h"))).terms.quality == 120
    assert served(made_by_six(keep("24 h", best_from="13 h"))).terms.quality == 60


# -- semantics 52 -------------------------------------------------------------------


PARTS = [{"id": "morning", "hours": "06:00-10:00"}, {"id": "evening", "hours": "16:00-20:00"}]


def turned_cure(tend: Document, *people: Document) -> Document:
    return week_of(
        component("bacon", step("cure", "26 h", tend=[visit("30 min", **tend)])),
        people=list(people) or [cook("ana", "06:00-18:00")],
        kitchen={"day_parts": PARTS},
    )


def test_a_cure_is_turned_in_the_evening_too() -> None:
    keeps_the_rule(
        turned_cure({"day_parts": ["morning", "evening"]}),
        turned_cure({"day_parts": ["morning"]}),
        "day-parts",
    )


def test_a_cure_that_nobody_can_turn_in_the_evening_is_missing() -> None:
    finds_no_place(
        turned_cure({"day_parts": ["morning", "evening"]}, cook("ana", "06:00-15:00")), "bacon.1"
    )


def test_once_a_shift_is_once_in_every_part_of_the_day_the_section_is_there() -> None:
    keeps_the_rule(
        turned_cure({"once_a_shift": True}), turned_cure({"day_parts": ["morning"]}), "day-parts"
    )


def test_once_a_shift_asks_nothing_of_an_evening_when_the_section_is_off() -> None:
    mornings = cook("ana", "06:00-15:00")
    keeps_the_rule(
        turned_cure({"once_a_shift": True}, mornings),
        turned_cure({"every": "27 h"}, mornings),
        "day-parts",
    )


def long_feed(plus: str, hours: str) -> Document:
    return week_of(
        component(
            "vinegar",
            step(
                "sour", "4 h", unload=visit(span("10 min", plus=plus, per="1 portion")),
            ),
        ),
        people=[cook("ana", hours, days=DAY)],
    )  # fmt: skip


def test_a_visit_is_as_long_as_the_quantity_makes_it() -> None:
    keeps_the_rule(long_feed("10 min", "15:00-18:00"), long_feed("1 min", "15:00-18:00"),
                   "visit-length")  # fmt: skip


def test_a_visit_that_grows_longer_than_the_shift_leaves_the_batch_out() -> None:
    finds_no_place(long_feed("10 min", "17:00-18:00"), "vinegar.1")

"""Hands, levels, training, shifts, nights and standing duties: a tiny week for each."""

from __future__ import annotations

from typing import Any

import pytest

from tests.weeks.checks import finds_no_place, keeps_the_rule, planned, task
from tests.weeks.tiny import (
    DAY,
    EVE,
    Document,
    component,
    cook,
    hands,
    in_oven,
    keep,
    kind,
    oven,
    step,
    store,
    visit,
    week_of,
)

# -- semantics 7, 8 -----------------------------------------------------------------


def two_sauces(*people: Document) -> Document:
    return week_of(
        component("red", step("stir", "60 min", hands=1)),
        component("white", step("stir", "60 min", hands=1)),
        people=list(people),
    )


def test_a_cook_does_not_stir_two_sauces_at_once() -> None:
    ana, ben = (cook(n, "08:00-18:00", days=DAY) for n in ("ana", "ben"))
    plan = keeps_the_rule(two_sauces(ana), two_sauces(ana, ben), "one-place", {"ben": "ana"})
    assert plan.terms.quality == 60


def test_one_hour_of_one_cook_is_one_sauce() -> None:
    finds_no_place(two_sauces(cook("ana", "17:00-18:00", days=DAY)), "red.1", "white.1")


def lifted(people: int, ben: str) -> Document:
    return week_of(
        component("pig", step("lift", "60 min", hands=people)),
        people=[cook("ana", "08:00-18:00", days=DAY), cook("ben", ben, days=DAY)],
    )


def test_two_lift_the_pig_while_both_are_there() -> None:
    plan = keeps_the_rule(lifted(2, "08:00-15:00"), lifted(1, "08:00-15:00"), "hands")
    assert set(task(plan, "pig.1/lift").visits[0].people) == {"ana", "ben"}


def test_a_pig_that_never_finds_two_cooks_together_is_missing() -> None:
    finds_no_place(lifted(2, "18:00-22:00"), "pig.1")


def with_a_helper(lines: list[Document], *people: Document) -> Document:
    return week_of(component("roll", step("roll", "60 min", hands=lines)), people=list(people))


LEAD_AND_HELPER = [{"people": 1, "level": "lead"}, {"people": 1, "level": "trainee"}]
TWO_HELPERS = [{"people": 2, "level": "trainee"}]


def brigade(lead: str) -> list[Document]:
    return [
        cook("ana", lead, sections={"stove": "lead"}, days=DAY),
        cook("ben", "08:00-18:00", sections={"stove": "trainee"}, days=DAY),
        cook("cem", "08:00-18:00", sections={"stove": "trainee"}, days=DAY),
    ]


def test_two_trainees_do_not_do_what_needs_a_lead() -> None:
    keeps_the_rule(
        with_a_helper(LEAD_AND_HELPER, *brigade("08:00-14:00")),
        with_a_helper(TWO_HELPERS, *brigade("08:00-14:00")),
        "section-level",
    )


def test_what_needs_a_lead_is_missing_when_the_lead_is_off() -> None:
    people = brigade("08:00-14:00")
    people[0]["off"] = [DAY]
    finds_no_place(with_a_helper(LEAD_AND_HELPER, *people), "roll.1")


def test_what_another_section_makes_is_not_made_by_whoever_is_free() -> None:
    def made_by(section: str) -> Document:
        return week_of(
            component("cake", step("ice", "60 min", hands=1), section=section),
            people=[
                cook("ana", "08:00-14:00", sections={"larder": "cook"}, days=DAY),
                cook("ben", "08:00-18:00", days=DAY),
            ],
        )

    keeps_the_rule(made_by("larder"), made_by("stove"), "section-level")


# -- eligibility (49, 52) -----------------------------------------------------------


def sliced(needs: bool, ana: str, keeps: Document | None = None) -> Document:
    return week_of(
        component(
            "ham", step("slice", "60 min", hands=1, on=[{"equipment": "slicer"}]), keeps=keeps
        ),
        people=[
            cook("ana", ana, may_use=["slicing"]), cook("ben", "08:00-18:00"),
        ],
        equipment=[kind("slicer", **({"may_use": "slicing"} if needs else {}))],
    )  # fmt: skip


def test_nobody_untrained_touches_the_slicer() -> None:
    plan = keeps_the_rule(sliced(True, "08:00-12:00"), sliced(False, "08:00-12:00"), "may-use")
    assert task(plan, "ham.1/slice").visits[0].people == ("ana",)


def test_ham_is_missing_when_nobody_trained_is_in_while_it_would_keep() -> None:
    finds_no_place(sliced(True, "08:00-12:00", keep("4 h")), "ham.1")


# -- shifts, breaks, days off, opening hours ----------------------------------------


def fresh_roll(keeps: Document | None = None, **shift: Any) -> Document:
    off = shift.pop("off", [])
    return week_of(
        component("roll", step("shape", "60 min", hands=1), keeps=keeps),
        people=[cook("ana", {"days": ["daily"], "hours": "08:00-18:00", **shift}, off=off)],
    )


def test_a_cook_has_the_break_before_service() -> None:
    keeps_the_rule(fresh_roll(breaks=["17:30-18:00"]), fresh_roll(), "shift")


def test_an_hour_of_work_does_not_fit_around_a_break() -> None:
    finds_no_place(
        fresh_roll(keep("3 h"), hours="16:00-18:00", breaks=["16:30-17:30"]), "roll.1"
    )


def test_nobody_is_called_in_on_a_day_off() -> None:
    plan = keeps_the_rule(fresh_roll(keep("30 h"), off=[DAY]), fresh_roll(keep("30 h")), "shift")
    assert plan.terms.quality == 24 * 60


def test_what_only_somebody_on_a_day_off_could_make_is_missing() -> None:
    finds_no_place(fresh_roll(keep("6 h"), off=[DAY]), "roll.1")


def breakfast(hours: str, keeps: Document) -> Document:
    return week_of(
        component("porridge", step("stir", "60 min", hands=1), keeps=keeps),
        service="10:00",
        kitchen={"open": hours},
    )


def test_nobody_works_before_the_kitchen_opens() -> None:
    keeps_the_rule(
        breakfast("09:30-22:00", keep("24 h")), breakfast("06:00-22:00", keep("24 h")), "open-hours"
    )


def test_porridge_that_cannot_be_stirred_in_opening_hours_is_missing() -> None:
    finds_no_place(breakfast("09:30-22:00", keep("4 h")), "porridge.1")


# -- semantics 12 -------------------------------------------------------------------


def overnight(step_alone: str, oven_alone: str | None, hours: str = "08:00-20:00") -> Document:
    return week_of(
        component(
            "bones", step("roast", "10 h", on=[in_oven(90)], alone=step_alone),
        ),
        people=[cook("ana", hours)],
        equipment=[oven(**({"alone": oven_alone} if oven_alone else {}))],
        service="08:00",
        kitchen={"people": [
            cook("pia", "07:30-21:00", sections={"pass": "lead"}, days=DAY),
            cook("ana", hours),
        ]},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("step_alone", "oven_alone"),
    [("someone_on_shift", "yes"), ("yes", "someone_on_shift"), ("yes", None)],
)
def test_an_oven_does_not_run_in_an_empty_house(step_alone: str, oven_alone: str | None) -> None:
    """The stricter of step and oven; what heats is never left alone unless it is said."""
    keeps_the_rule(overnight(step_alone, oven_alone), overnight("yes", "yes"), "alone")


def test_bones_that_roast_longer_than_anybody_is_there_are_missing() -> None:
    finds_no_place(overnight("yes", None, "08:00-16:00"), "bones.1")


# -- semantics 49 -------------------------------------------------------------------


def beside_a_duty(keeps: Document | None = None, **duty: Any) -> Document:
    standing = {"id": "bar", "days": ["daily"], "hours": "16:00-18:00", **duty}
    return week_of(
        component(
            "eggs", step("boil", "60 min", hands=1, on=[{"equipment": "burner"}]), keeps=keeps
        ),
        people=[cook("ana", "08:00-18:00")],
        equipment=[kind("burner", units=2)],
        kitchen={"duties": [standing]},
    )


ONE_COOK = {"section": "stove", "people": 1}


def test_the_cook_who_stands_at_the_bar_does_not_boil_eggs() -> None:
    """Without the duty the eggs are boiled at five; with it they are done by four."""
    free = beside_a_duty(**ONE_COOK, days=[EVE])
    plan = keeps_the_rule(beside_a_duty(**ONE_COOK), free, "duty")
    assert [d.people for d in plan.duties] == [("ana",), ("ana",)]
    assert plan.terms.quality == 120


def test_eggs_are_missing_when_the_duty_takes_the_only_cook_all_day() -> None:
    finds_no_place(beside_a_duty(**ONE_COOK, hours="08:00-18:00"), "eggs.1")


def test_burners_of_the_restaurant_are_not_free_for_the_banquet() -> None:
    keeps_the_rule(
        beside_a_duty(equipment=[{"equipment": "burner", "amount": 2}]),
        beside_a_duty(equipment=[{"equipment": "burner"}]),
        "equipment-full",
    )


def test_eggs_are_missing_when_the_restaurant_has_all_burners() -> None:
    burners = [{"equipment": "burner", "amount": 2}]
    finds_no_place(
        beside_a_duty(keep("4 h"), hours="12:00-18:00", equipment=burners), "eggs.1"
    )


def shelf_beside_a_duty(shelves: int) -> Document:
    return week_of(
        component(
            "cream", step("whip", "60 min", hands=1),
            keeps=keep("24 h", "chilled", best_until="24 h"),
        ),
        people=[cook("ana", "08:00-12:00", days=DAY), cook("ben", "17:00-18:00", days=DAY)],
        stores=[store("walk-in", "chilled", 2)],
        kitchen={
            "duties": [
                {
                    "id": "bar", "days": ["daily"], "hours": "13:00-16:00",
                    "stores": [{"store": "walk-in", "shelves": shelves}],
                }
            ]
        },
    )  # fmt: skip


def test_shelves_of_a_duty_are_not_free() -> None:
    plan = planned(shelf_beside_a_duty(2))
    assert not plan.missing
    assert task(plan, "cream.1/whip").visits[0].people == ("ben",)


def test_a_duty_on_other_days_binds_nobody() -> None:
    assert planned(beside_a_duty(**ONE_COOK, days=[EVE])).terms.quality == 0


def test_a_visit_beside_a_duty_needs_somebody_else() -> None:
    """The load falls into the duty unless it is loaded before."""
    def loaded(duty: bool) -> Document:
        standing = [
            {"id": "bar", "days": ["daily"], "hours": "13:00-16:00", "section": "stove",
             "people": 1}
        ]  # fmt: skip
        return week_of(
            component("roast", step("roast", "4 h", load=visit("30 min", hands(1)))),
            people=[cook("ana", "08:00-18:00")],
            kitchen={"duties": standing if duty else []},
        )

    plan = keeps_the_rule(loaded(True), loaded(False), "duty")
    assert plan.terms.quality == 60

"""Allergens in the plan: what is cleaned between, in which order, and what diets are given."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.plan.words import Names
from scheduler.plan.working import cleaning_line
from tests.weeks.checks import finds_no_place, keeps_the_rule, planned, served
from tests.weeks.tiny import (
    Document,
    component,
    cook,
    dish,
    event,
    keep,
    kind,
    step,
    take,
    week_of,
)

ANA = [cook("ana", may_use=["stone"])]
HALF = {"time": "30 min", "hands": [{"may_use": ["stone"]}]}


def ground(
    *pastes: tuple[str, list[str]],
    between: str = "allergens",
    ages: dict[str, str] | None = None,
    people: list[Document] | None = None,
    clean: int = 0,
    **more: Any,
) -> Document:
    """Pastes that are each an hour on one stone; `ages`: not before so long after grinding."""
    def paste(name: str, allergens: list[str]) -> Document:
        rest = {"not_before": ages[name]} if ages and name in ages else {}
        return component(
            name, step("grind", "60 min", on=[{"equipment": "stone"}]),
            allergens=allergens, keeps=keep("24 h", "chilled", **rest), **more.get(name, {}),
        )  # fmt: skip

    return week_of(
        *(paste(*one) for one in pastes),
        equipment=[kind("stone", clean_down={**HALF, "between": between})],
        people=people or ANA, kitchen={"calm": {"clean_down": clean}} | more.get("kitchen", {}),
    )  # fmt: skip


def order(plan: Plan) -> list[str]:
    """What goes over the stone, one after the other."""
    return [t.batch.split(".")[0] for t in sorted(plan.tasks, key=lambda t: t.start)
            if t.step == "grind"]  # fmt: skip


PLAIN, PEANUT = ("rice", []), ("peanut-paste", ["peanut"])
BOTH = ("both-paste", ["peanut", "almond"])
CHAIN = (PLAIN, PEANUT, BOTH)
GROWING = {"rice": "12 h", "peanut-paste": "8 h"}
SHRINKING = {"both-paste": "12 h", "peanut-paste": "8 h"}


def test_nothing_then_peanut_then_peanut_and_almond_needs_no_cleaning() -> None:
    """University of Georgia, guidance on scheduling: unique allergens towards the end."""
    plan = served(ground(*CHAIN, ages=GROWING))
    assert order(plan) == ["rice", "peanut-paste", "both-paste"]
    assert plan.clean_downs == ()


def test_the_other_way_round_the_stone_is_cleaned_twice() -> None:
    plan = served(ground(*CHAIN, ages=SHRINKING))
    assert order(plan) == ["both-paste", "peanut-paste", "rice"]
    assert len(plan.clean_downs) == 2


def test_a_kitchen_that_cleans_at_any_change_cleans_twice_either_way() -> None:
    """Allergen Bureau, production scheduling: cleaned between different profiles."""
    for ages in (GROWING, SHRINKING):
        plan = served(ground(*CHAIN, ages=ages, between="any change"))
        assert len(plan.clean_downs) == 2


def test_what_a_recipe_says_it_leaves_does_not_matter_where_allergens_do() -> None:
    week = ground(PLAIN, ("barley", []), rice={"leaves": ["husk"]})
    assert served(week).clean_downs == ()
    week["kitchen"]["equipment"][0]["clean_down"]["between"] = "contents"
    assert len(served(week).clean_downs) == 1


def test_nuts_may_be_hazelnuts_and_are_cleaned_off_before_almonds() -> None:
    """Almond is one of the nuts of Annex II, so it may go before what contains any of them."""
    nuts, almond = ("nut-paste", ["nuts"]), ("almond-paste", ["almond"])
    assert len(served(ground(nuts, almond, ages={"nut-paste": "12 h"})).clean_downs) == 1
    assert served(ground(nuts, almond, ages={"almond-paste": "12 h"})).clean_downs == ()


def test_what_only_may_contain_sesame_is_no_reason_to_clean() -> None:
    trace = {"may_contain": ["sesame"]}
    week = ground(PLAIN, ("oat-flour", ["oats"]), ages={"rice": "12 h"}, rice=trace)
    assert served(week).clean_downs == ()


def test_sesame_two_recipes_down_is_still_sesame_on_the_stone() -> None:
    """Cooking does not take it away: Codex CXC 80-2020, introduction."""
    week = ground(("tahina", []), PLAIN, ages={"tahina": "12 h"})
    week["components"].append(
        component("seeds", step("roast", "30 min", hands=1), allergens=["sesame"])
    )
    week["components"][0]["steps"][0]["takes"] = [take("seeds", "5 portions")]
    week["dishes"][0]["takes"] = [take("tahina"), take("rice")]
    assert len(served(week).clean_downs) == 1


@pytest.mark.parametrize(
    ("first", "second", "times"),
    [
        ("raw-fish", "ready", 1),
        ("ready", "raw-fish", 0),
        ("raw-fish", "raw-poultry", 0),
        ("raw-poultry", "raw-fish", 1),
        ("raw-meat", "raw-fish", 1),
    ],
)
def test_raw_food_is_cleaned_off_before_what_is_eaten_as_it_is(
    first: str, second: str, times: int
) -> None:
    """FDA Food Code 4-602.11(A), and (B): raw kinds by rising cooking temperature need none."""
    week = ground(
        ("one", []), ("two", []), ages={"one": "12 h"},
        one={"food_class": first}, two={"food_class": second}, kitchen={"rule_profile": "us"},
    )  # fmt: skip
    assert len(served(week).clean_downs) == times


SESAME, SEED = ("sesame", ["sesame"]), ("pumpkin", [])


def test_the_audit_sees_a_stone_that_was_not_cleaned_of_sesame() -> None:
    week = ground(SESAME, SEED, ages={"sesame": "12 h"})
    without = ground(("sesame", []), SEED, ages={"sesame": "12 h"})
    plan = keeps_the_rule(week, without, "clean-down")
    (done,) = plan.clean_downs
    assert (done.after, done.before) == ("sesame.1/grind", "pumpkin.1/grind")
    found = audit(scenario_of(week), plan.model_copy(update={"clean_downs": ()})).findings
    assert "sesame must not get into it" in next(f.what for f in found if f.rule == "clean-down")


def test_sesame_with_nobody_to_clean_finds_no_place_before_pumpkin() -> None:
    gone = cook("gil", sections={"larder": "cook"}, may_use=["stone"], days="2027-05-20")
    nobody = [cook("ana"), gone]
    early = ground(SESAME, SEED, ages={"sesame": "22 h"}, people=nobody)
    early["components"][1]["keeps"] = [keep("1 h")]
    finds_no_place(early, "sesame.1", "pumpkin.1")
    ready = ground(SESAME, SEED, people=nobody)
    assert order(served(ready)) == ["pumpkin", "sesame"]


def test_a_kitchen_that_pays_for_cleaning_grinds_sesame_last() -> None:
    """Pumpkin seed keeps worst and would be ground last; sesame before it has to be cleaned off."""

    def week(clean: int) -> Document:
        weights = {"pumpkin": {"weight": 12}, "sesame": {"weight": 5}}
        return ground(PLAIN, SESAME, SEED, clean=clean, **weights)

    free, priced = served(week(0)), served(week(20))
    assert order(free) == ["rice", "sesame", "pumpkin"] and len(free.clean_downs) == 1
    assert order(priced)[-1] == "sesame" and priced.clean_downs == ()
    assert free.terms.calm == 0 == priced.terms.calm
    assert priced.terms.quality > free.terms.quality
    told = cleaning_line(Names(scenario_of(week(0)), free))
    assert told == "Cleaned between two contents once, 30 min in all."


def test_cleaning_that_cannot_be_helped_is_paid_for_by_the_minute() -> None:
    plan = served(ground(SESAME, SEED, ages={"sesame": "12 h"}, clean=2))
    assert plan.terms.calm == 60


# -- diets -----------------------------------------------------------------------------


def bread_for(free_of: list[str], instead: list[str], **more: Any) -> Document:
    """Rolls, and for four guests something else that contains `instead`."""
    bread = event(
        "supper", "18:00",
        {"dish": "bread", "diets": [
            {"id": "apart", "count": 4, "swap": {"rolls": "crackers"}, "free_of": free_of}]},
    )  # fmt: skip
    return week_of(
        component("rolls", step("bake", "60 min", hands=1), allergens=["rye"]),
        component("crackers", step("dry", "60 min", hands=1), allergens=instead, **more),
        dishes=[dish("bread", "rolls")], events=[bread],
    )  # fmt: skip


def test_crackers_of_oats_are_refused_on_plates_without_gluten() -> None:
    """Oats are among the cereals of Regulation (EU) 1169/2011, Annex II, item 1."""
    good = bread_for(["gluten"], ["sesame"])
    plan = served(good)
    bad = bread_for(["gluten"], ["oats"])
    report = audit(scenario_of(bad), plan)
    assert report.rules() == {"diet"}
    assert "4 guests must not have gluten, and crackers contains oats" in str(report.findings[0])


def test_what_crackers_only_may_contain_does_not_stop_the_plan() -> None:
    served(bread_for(["gluten"], [], may_contain=["oats"]))


def test_the_batch_that_is_made_counts_and_not_a_method_that_is_not_taken() -> None:
    other = {"id": "rolled", "steps": [step("roll", "5 h", hands=1, takes=[take("oat-mix")])]}
    week = bread_for(["gluten"], [], methods=[other])
    week["components"].append(
        component("oat-mix", step("mix", "30 min", hands=1), allergens=["oats"])
    )
    plan = planned(week)
    assert audit(scenario_of(week), plan).valid
    assert {b.method for b in plan.batches} == {None}

"""Allergens through sub-components to the plate, and what guests must not have."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.allergens import lists, probably, words_of
from scheduler.domain.containing import on_the_plate
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.plates import on_plates
from scheduler.safety.check import check
from scheduler.safety.finding import Finding, Standing
from tests.weeks.tiny import Document, component, dish, event, step, take, week_of


def named(scenario: Scenario, component_id: str) -> tuple[set[str], set[str]]:
    found = scenario.contents[component_id]
    return set(found.contains), set(found.may)


def made(name: str, *inputs: str, **rest: Any) -> Document:
    """Made of other components in half an hour; it brings nothing in unless that is said."""
    rest = {"allergens": [], **rest}
    if rest["allergens"] is None:
        del rest["allergens"]
    return component(
        name, step("make", "30 min", hands=1, takes=[take(i) for i in inputs]), **rest
    )


def findings(document: Document, rule: str | None = None) -> list[Finding]:
    return [f for f in check(scenario_of(document)) if rule in (None, f.rule)]


def said(document: Document) -> str:
    with pytest.raises(BadInput) as caught:
        scenario_of(document)
    return "\n".join(str(p) for p in caught.value.problems)


# -- the lists -------------------------------------------------------------------------


def test_the_lists_are_as_long_as_they_are_called() -> None:
    """Regulation (EU) 1169/2011, Annex II: fourteen; FALCPA 2004 and FASTER Act 2021: nine."""
    eu, us = lists()["eu"], lists()["us"]
    assert (len(eu.items), len(us.items)) == (14, 9)
    missing = {i.id for i in eu.items} - {i.id for i in us.items}
    assert missing == {"gluten", "celery", "mustard", "sulphites", "lupin", "molluscs"}
    assert "sesame" in words_of(us) and "rye" not in words_of(us)
    (sulphites,) = (i for i in eu.items if i.id == "sulphites")
    assert sulphites.least is not None and "10 mg/kg or 10 mg/l" in sulphites.least


def test_the_cereals_and_the_nuts_of_annex_ii_are_all_there() -> None:
    """Annex II, items 1 and 8."""
    cereals = {"wheat", "spelt", "khorasan", "rye", "barley", "oats"}
    nuts = {"almond", "hazelnut", "walnut", "cashew", "pecan", "brazil-nut", "pistachio",
            "macadamia"}  # fmt: skip
    assert cereals | nuts <= words_of(lists()["eu"])


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("seasame", "'sesame'"), ("eggs", "'egg'"), ("penaut", "'peanut'"), ("soya", "'soy'"),
        ("egg-white", "'egg'"), ("shellfish", "'crustaceans' or 'molluscs'"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("field", ["allergens", "may_contain"])
def test_an_allergen_misspelt_is_no_allergen_of_its_own(word: str, meant: str, field: str) -> None:
    told = said(week_of(made("paste", **{field: [word]})))
    place = f"recipe paste, {field.replace('_', ' ')}"
    assert f"{place}: unknown allergen '{word}'. Maybe {meant}" in told


def test_a_diet_misspelt_is_found_where_it_is_written() -> None:
    told = said(supper({"rolls": []}, free_of=["glutn"]))
    assert "diet apart, free of: unknown allergen 'glutn'. Maybe 'gluten'" in told


@pytest.mark.parametrize("word", ["kiwi", "peach", "pea", "chestnut", "pine-nut", "garlic"])
def test_what_is_on_no_list_is_let_be(word: str) -> None:
    assert probably(word) == []


def test_a_list_that_there_is_not_is_refused() -> None:
    own = {"allergens": {"items": "annex-ii"}}
    week = week_of(made("paste"), kitchen={"rule_profile": "house", "own_limits": own})
    assert "there is no list of allergens 'annex-ii', only eu and us" in said(week)


# -- through everything that goes in -----------------------------------------------------


def test_what_goes_in_three_recipes_down_is_on_the_plate() -> None:
    """No cook step takes it away: Codex CXC 80-2020, introduction."""
    week = week_of(
        made("seed", allergens=["sesame"], may_contain=["almond"]),
        made("paste", "seed"), made("cream", "paste", allergens=["milk"]),
        made("nut-cream", "cream", allergens=["nuts"]),
        dishes=[dish("plate", "cream"), dish("other", "nut-cream")],
    )  # fmt: skip
    scenario = scenario_of(week)
    assert named(scenario, "cream") == ({"sesame", "milk"}, {"almond"})
    plate = on_the_plate(scenario, scenario.dish["plate"])
    assert (set(plate.contains), set(plate.may)) == ({"sesame", "milk"}, {"almond"})
    assert named(scenario, "nut-cream") == ({"sesame", "milk", "nuts"}, set())


def test_a_state_a_method_and_a_by_product_carry_it_on() -> None:
    milk = component(
        "curd", step("set", "30 min", hands=1, gives=[{"component": "whey", "amount": "1 portion"}],
                     takes=[take("egg-wash")]),
        step("salt", "30 min", hands=1, takes=[take("nut-salt")]),
        allergens=["milk"],
    )  # fmt: skip
    milk["states"] = [{"id": "frozen", "steps": [step("freeze", "1 h")],
                       "keeps": [{"at_most": "48 h"}]}]  # fmt: skip
    whey = {"id": "whey", "section": "stove", "makes": "1 portion", "keeps": [{"at_most": "9 h"}]}
    bread = made("bread")
    bread["methods"] = [{"id": "malted", "steps": [
        step("mix", "30 min", hands=1, takes=[take("malt-syrup")])]}]  # fmt: skip
    week = week_of(
        milk, whey, bread, made("malt-syrup", allergens=["barley"]),
        made("egg-wash", allergens=["egg"]), made("nut-salt", allergens=["nuts"]),
        dishes=[dish("plate", "bread", take("curd", state="frozen"), "whey")],
    )  # fmt: skip
    scenario = scenario_of(week)
    assert named(scenario, "curd-frozen")[0] == {"milk", "egg", "nuts"}
    assert named(scenario, "whey")[0] == {"milk", "egg"}, "the nuts went in after the whey"
    assert named(scenario, "bread")[0] == {"barley"}, "in one of the ways it may be made"


# -- guests ----------------------------------------------------------------------------


def supper(
    allergens: dict[str, list[str]], free_of: list[str], may: list[str] | None = None,
    swap: dict[str, str] | None = None, profile: str | None = "eu", pass_: list[str] | None = None,
) -> Document:
    """Bread of some components; three guests get it with some of them replaced."""
    diet = {"id": "apart", "count": 3, "free_of": free_of, "swap": swap or {}}
    parts = [made(n, allergens=words, may_contain=may or []) for n, words in allergens.items()]
    taken = [n for n in allergens if n not in (swap or {}).values()]
    rest = {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"}
    kitchen = {} if profile is None else {"rule_profile": profile}
    return week_of(
        *parts,
        dishes=[dish("bread", *taken, allergens=pass_ or [])],
        events=[event("supper", "18:00", {"dish": "bread", "diets": [diet]})],
        kitchen=kitchen | ({"rest": rest} if profile == "eu" else {}),
    )  # fmt: skip


@pytest.mark.parametrize("profile", ["eu", "us", "house", None])
def test_rye_on_a_plate_without_gluten_is_broken_whosever_limits_hold(profile: str | None) -> None:
    """Rye is a cereal of Annex II, item 1, and no wheat of the US list: a guest is a guest."""
    (found,) = findings(supper({"rolls": ["rye"]}, ["gluten"], profile=profile), "diet")
    assert (found.standing, found.enforced) == (Standing.BROKEN, True)
    assert found.said == "3 guests must not have gluten, and rolls contains rye"
    assert found.source == ("Regulation (EU) 1169/2011 Annex II" if profile == "eu" else "")


def test_swapped_for_crackers_it_is_fine() -> None:
    both = {"rolls": ["rye"], "crackers": ["sesame"]}
    week = supper(both, ["gluten"], swap={"rolls": "crackers"})
    (found,) = findings(week, "diet")
    assert found.standing is Standing.FINE


def test_what_is_added_at_the_pass_is_on_the_diets_plates_too() -> None:
    week = supper({"rolls": [], "crackers": []}, ["milk"], swap={"rolls": "crackers"},
                  pass_=["milk"])  # fmt: skip
    (found,) = findings(week, "diet")
    assert found.said.endswith("what is added at the pass contains milk")


def test_a_trace_is_near_and_stops_nobody() -> None:
    (found,) = findings(supper({"rolls": []}, ["nuts"], may=["almond"]), "diet")
    assert (found.standing, found.enforced) == (Standing.NEAR, False)
    assert "may contain almond" in found.said


def test_hazelnut_is_no_almond_but_nuts_may_be() -> None:
    assert findings(supper({"rolls": ["hazelnut"]}, ["almond"]), "diet")[0].standing is (
        Standing.FINE
    )
    assert findings(supper({"rolls": ["nuts"]}, ["almond"]), "diet")[0].standing is (
        Standing.BROKEN
    )


def test_three_guests_without_kiwi_are_never_dropped() -> None:
    found = findings(supper({"rolls": []}, ["kiwi"]), "diet")
    notes = [f.said for f in found if f.standing is Standing.NOTE]
    assert notes == ["3 guests without kiwi: no list has it; ask for every recipe"]
    kiwi = findings(supper({"rolls": ["kiwi"]}, ["kiwi"]), "diet")
    assert kiwi[0].standing is Standing.BROKEN


def test_a_diet_that_names_no_allergen_says_so() -> None:
    (found,) = findings(supper({"rolls": ["rye"]}, []), "diet")
    assert found.standing is Standing.NOTE and "does not say" in found.said


def test_guests_meet_a_dish_that_has_no_plates_for_them() -> None:
    week = supper({"rolls": ["rye"], "crackers": []}, ["gluten"], swap={"rolls": "crackers"})
    week["components"].append(made("beer-soup", allergens=["barley"]))
    week["dishes"].append(dish("soup", "beer-soup"))
    week["week"]["events"][0]["menu"].append({"dish": "soup"})
    (found,) = (f for f in findings(week, "diet") if f.standing is Standing.NEAR)
    assert found.where == "supper, soup"
    assert found.said == "contains barley; of 3 apart guests 3 have no plates of their own"


# -- other lists -----------------------------------------------------------------------


def test_under_the_american_list_gluten_asks_which_cereal() -> None:
    week = supper({"rolls": ["gluten", "celery"]}, [], profile="us")
    told = {f.where: f for f in findings(week, "allergens")}
    assert told["gluten"].said.startswith("which cereal?")
    assert told["celery"].said.startswith("not among the nine of the US")
    eu = {f.where for f in findings(supper({"rolls": ["gluten", "celery"]}, []), "allergens")}
    assert not eu


def test_kiwi_in_a_recipe_is_a_note_and_sulphites_say_from_when() -> None:
    week = supper({"rolls": ["kiwi", "sulphites"]}, [])
    told = {f.where: f.said for f in findings(week, "allergens")}
    assert told["kiwi"] == "on no list; carried through to the plates (rolls)"
    assert "10 mg/kg or 10 mg/l" in told["sulphites"]


# -- shown -------------------------------------------------------------------------------


def test_a_waiter_reads_each_dish_beside_the_guests_needs() -> None:
    week = supper({"rolls": ["rye", "milk"], "crackers": ["sesame"]}, ["gluten", "kiwi"],
                  may=["almond"], swap={"rolls": "crackers"})  # fmt: skip
    assert list(on_plates(scenario_of(week))) == [
        "On the plates",
        "  supper",
        "    in all contains gluten (rye), milk, sesame; may contain nuts (almond)",
        "    guests: 3 apart",
        "    bread",
        "      contains gluten (rye), milk; may contain nuts (almond)",
        "      3 apart, free of gluten, kiwi (on no list): contains sesame; "
        "may contain nuts (almond)",
    ]


def test_a_week_that_says_nothing_of_allergens_has_one_line() -> None:
    (line,) = on_plates(scenario_of(week_of(made("soup", allergens=None))))
    assert "nobody knows what is in them" in line


# -- what nobody has written ---------------------------------------------------------------


def unwritten(*names: str, **more: Any) -> Document:
    """Bread of rolls and more; these say no `allergens`."""
    week = supper({"rolls": [], "crackers": []}, ["gluten"], **more)
    for recipe in (*week["components"], *week["dishes"]):
        if recipe["id"] in names:
            del recipe["allergens"]
    return week


@pytest.mark.parametrize(
    ("name", "called"), [("rolls", "rolls"), ("bread", "what is added at the pass")]
)
def test_rolls_of_which_nobody_has_written_anything_are_free_of_nothing(
    name: str, called: str
) -> None:
    """Left out is not `[]`: a guest is not told that rolls have no gluten by a missing line."""
    (found,) = findings(unwritten(name), "diet")
    assert (found.standing, found.enforced) == (Standing.UNKNOWN, False)
    assert f"nobody has written what is in {called}" in found.said
    assert findings(unwritten(), "diet")[0].standing is Standing.FINE


def test_what_nobody_has_written_three_recipes_down_is_not_known_on_the_plate() -> None:
    week = supper({"rolls": [], "dough": [], "starter": []}, ["gluten"])
    rolls, dough, starter = week["components"]
    week["dishes"][0]["takes"] = [take("rolls")]
    rolls["steps"][0]["takes"], dough["steps"][0]["takes"] = [take("dough")], [take("starter")]
    del starter["allergens"]
    (found,) = findings(week, "diet")
    assert found.standing is Standing.UNKNOWN and "what is in starter" in found.said
    starter["allergens"] = []
    assert findings(week, "diet")[0].standing is Standing.FINE


def test_a_state_and_a_by_product_know_what_they_come_from() -> None:
    curd = made("curd", allergens=["milk"])
    curd["steps"][0]["gives"] = [{"component": "whey", "amount": "1 portion"}]
    curd["states"] = [{"id": "frozen", "steps": [step("freeze", "1 h")],
                       "keeps": [{"at_most": "48 h"}]}]  # fmt: skip
    whey = {"id": "whey", "section": "stove", "makes": "1 portion", "keeps": [{"at_most": "9 h"}]}
    plate = dish("plate", take("curd", state="frozen"), "whey", allergens=[])
    week = week_of(curd, whey, dishes=[plate])
    assert not on_the_plate(scenario_of(week), scenario_of(week).dish["plate"]).unwritten
    del curd["allergens"]
    scenario = scenario_of(week)
    assert on_the_plate(scenario, scenario.dish["plate"]).unwritten == {"curd"}


def test_the_table_says_what_nobody_has_written_for_the_dish_and_the_event() -> None:
    lines = list(on_plates(scenario_of(unwritten("rolls"))))
    assert "    in all contains none written; not known: rolls" in lines
    assert "      3 apart, free of gluten: contains none written; not known: rolls" in lines


def test_every_recipe_that_says_nothing_is_named_once() -> None:
    found = findings(unwritten("rolls", "bread"), "allergens")
    assert [(f.standing, f.where) for f in found] == [
        (Standing.UNKNOWN, "rolls"), (Standing.UNKNOWN, "bread"),
    ]  # fmt: skip
    assert "counts as free of nothing" in found[0].said


@pytest.mark.parametrize(
    ("soup", "standing", "words"),
    [
        ({"may_contain": ["barley"]}, Standing.NOTE, "may contain barley; of 3 apart guests 3"),
        ({"allergens": None}, Standing.UNKNOWN, "nobody has written what is in beer-soup"),
    ],
)
def test_guests_without_plates_hear_of_traces_and_of_what_nobody_knows(
    soup: Document, standing: Standing, words: str
) -> None:
    week = supper({"rolls": []}, ["gluten"])
    week["components"].append(made("beer-soup", **soup))
    week["dishes"].append(dish("soup", "beer-soup", allergens=[]))
    week["week"]["events"][0]["menu"].append({"dish": "soup"})
    (found,) = (f for f in findings(week, "diet") if f.where == "supper, soup")
    assert found.standing is standing and words in found.said

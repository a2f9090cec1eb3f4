"""What meets on a machine that nobody cleans in between: sesame, raw poultry, what nobody knows."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.safety.check import check
from scheduler.safety.finding import Finding, Standing
from tests.weeks.checks import served
from tests.weeks.tiny import Document, component, cook, dish, event, keep, kind, step, take, week_of

RULE = "contact"
CLEAN = {"time": "30 min", "hands": [{"section": "stove"}]}


def on_the_mill(
    *pastes: tuple[str, list[str] | None],
    mill: Document | None = None,
    first: str | None = None,
    free_of: str = "sesame",
    profile: str | None = None,
    **more: Document,
) -> Document:
    """Pastes that are each an hour on one mill; `first` is ground long before the others.

    A guest without sesame (or other words) has rice paste.
    """
    def paste(name: str, allergens: list[str] | None) -> Document:
        rest: dict[str, Any] = {"allergens": allergens} if allergens is not None else {}
        wait = {"not_before": "8 h"} if name == first else {}
        ground = step("grind", "60 min", on=[{"equipment": "mill"}])
        return component(
            name, ground, keeps=keep("24 h", "chilled", **wait), **rest,
            **more.get(name, {}),
        )  # fmt: skip

    diet = {"id": "apart", "count": 3, "free_of": [free_of],
            "swap": {n: "rice" for n, _ in pastes if n != "rice"}}  # fmt: skip
    return week_of(
        *(paste(*one) for one in pastes),
        dishes=[dish("plate", *(n for n, _ in pastes if n != "rice"), allergens=[])],
        events=[event("supper", "18:00", {"dish": "plate", "diets": [diet]})],
        equipment=[kind("mill", **(mill or {}))], people=[cook("ana")],
        kitchen={"rule_profile": profile} if profile else {},
    )  # fmt: skip


SESAME, RICE = ("sesame-paste", ["sesame"]), ("rice", [])


def told(document: Document, planned: bool = False) -> list[Finding]:
    plan = served(document) if planned else None
    words = " gets into " if planned else " can get into "
    return [f for f in check(scenario_of(document), plan) if f.rule == RULE and words in f.said]


def test_a_mill_that_nobody_cleans_could_bring_sesame_to_guests_who_must_not_have_it() -> None:
    """Univ. of Georgia, guidance on scheduling: cleaned before what lacks an allergen of the last.

    University of Georgia, groundnut academy.
    """
    (found,) = [f for f in told(on_the_mill(SESAME, RICE)) if f.standing is Standing.NEAR]
    assert (found.where, found.enforced) == ("mill", False)
    assert found.said == (
        "sesame from sesame-paste can get into rice, for 3 apart guests (supper): a `clean_down` "
        "(between: allergens) or a unit of its own mends it"
    )


@pytest.mark.parametrize(
    ("mill", "fine"),
    [
        ({"clean_down": CLEAN | {"between": "allergens"}}, True),
        ({"clean_down": CLEAN | {"between": "any change"}}, True),
        ({"clean_down": CLEAN}, True),
        ({"touched": False}, True),
        ({"capacity": 4}, True),
        ({"capacity": 4, "touched": True}, False),
    ],
)
def test_what_mends_it_or_makes_it_no_matter(mill: Document, fine: bool) -> None:
    assert (told(on_the_mill(SESAME, RICE, mill=mill)) == []) == fine


def test_a_clean_down_by_leaves_that_are_alike_cleans_nothing_and_is_said() -> None:
    same = {"leaves": ["paste"]}
    week = on_the_mill(
        SESAME, RICE, mill={"clean_down": CLEAN}, **{"sesame-paste": same, "rice": same}
    )
    assert any(f.standing is Standing.NEAR and "between: allergens" in f.said for f in told(week))
    assert served(week).clean_downs == ()


@pytest.mark.parametrize(
    ("first", "standing"), [("sesame-paste", Standing.BROKEN), ("rice", None)]
)
def test_the_plan_is_held_against_the_order_that_it_has(first: str, standing: Any) -> None:
    found = told(on_the_mill(SESAME, RICE, first=first), planned=True)
    broken = [f for f in found if f.standing is Standing.BROKEN]
    assert [f.standing for f in broken] == ([standing] if standing else [])
    for one in broken:
        assert one.said.startswith("sesame from sesame-paste (Fri 7 May ")
        assert "gets into rice (Fri 7 May " in one.said and "for 3 apart guests" in one.said
        assert "nobody cleans it in between: a `clean_down`" in one.said


def test_once_it_is_cleaned_in_the_plan_nothing_meets() -> None:
    mill = {"clean_down": CLEAN | {"between": "allergens"}}
    week = on_the_mill(SESAME, RICE, mill=mill, first="sesame-paste")
    assert len(served(week).clean_downs) == 1
    assert told(week, planned=True) == []


def test_sesame_goes_on_through_what_contains_it_and_through_sub_components() -> None:
    """Rice is two recipes down in what the guests eat; two sesame pastes go before it."""
    week = on_the_mill(SESAME, ("halva", ["sesame", "milk"]), RICE)
    week["components"].append(
        component("cake", step("press", "30 min", hands=1, takes=[take("rice")]), allergens=[])
    )
    diet = week["week"]["events"][0]["menu"][0]["diets"][0]
    diet["swap"] = {"sesame-paste": "cake", "halva": "cake"}
    near = [f.said for f in told(week) if f.standing is Standing.NEAR]
    assert [said.split(" can get")[0] for said in near] == [
        "sesame from sesame-paste", "sesame from halva",
    ]  # fmt: skip


def test_what_no_guest_must_be_free_of_is_a_note_and_near_in_the_plan() -> None:
    week = on_the_mill(SESAME, RICE, free_of="kiwi", first="sesame-paste")
    assert {f.standing for f in told(week)} == {Standing.NOTE}
    assert {f.standing for f in told(week, planned=True)} == {Standing.NEAR}
    named = on_the_mill(SESAME, RICE, free_of="kiwi", rice={"may_contain": ["sesame"]})
    assert told(named) == []


def test_what_nobody_has_written_leaves_what_nobody_knows() -> None:
    found = told(on_the_mill(("seed-paste", None), RICE))
    assert {f.standing for f in found} == {Standing.UNKNOWN}
    assert found[0].said.startswith("what nobody has written of seed-paste from seed-paste can get")


RAW: Document = {"food_class": "raw-poultry"}
READY: Document = {"food_class": "ready"}


@pytest.mark.parametrize(
    ("profile", "source"),
    [("us", "FDA Food Code as adopted 4-602.11(A)"), ("anz", "common practice, no source")],
)
def test_raw_poultry_before_what_is_ready_to_eat_is_said(profile: str, source: str) -> None:
    """FDA Food Code 4-602.11(A): cleaned before a change from raw to ready-to-eat."""
    mince = component("mince", step("mince", "60 min", on=[{"equipment": "mill"}]), allergens=[],
                      keeps=keep("24 h", "chilled", not_before="8 h"), **RAW)  # fmt: skip
    salad = component("salad", step("shred", "60 min", on=[{"equipment": "mill"}]), allergens=[],
                      keeps=keep("24 h", "chilled"), **READY)  # fmt: skip
    fry = step("fry", "30 min", hands=1, core="76 °C", takes=[take("mince")])
    burger = component("burger", fry, allergens=[], **READY)
    week = week_of(mince, salad, burger, equipment=[kind("mill")], people=[cook("ana")],
                   kitchen={"rule_profile": profile})  # fmt: skip
    (near,) = told(week)
    assert (near.standing, near.source) == (Standing.NEAR, source)
    assert near.said.startswith("raw-poultry from mince can get into salad: a `clean_down`")
    (broken,) = told(week, planned=True)
    assert broken.standing is Standing.BROKEN and "gets into salad" in broken.said
    week["components"][0]["steps"][0]["core"] = "76 °C"
    assert told(week) == [], "cooked on it, it leaves nothing raw"


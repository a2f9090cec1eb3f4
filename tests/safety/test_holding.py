"""Places that are not cold or hot enough, and food that is not hot enough again, are told."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.safety.check import check
from scheduler.safety.finding import Finding, Standing
from scheduler.solve.engine import plan_week
from tests.safety.test_profiles import LOOSE
from tests.weeks.tiny import component, dish, in_oven, keep, oven, step, store, take, week_of

Doc = dict[str, Any]


def soup(*steps: Doc, keeps: Doc | None = None, **rest: Any) -> Doc:
    """Soup that must be kept cold or hot."""
    made = steps or (step("cook", "60 min", hands=1),)
    return component("soup", *made, keeps=keeps or keep("24 h", "chilled"),
                     **{"food_class": "ready", **rest})  # fmt: skip


def week(profile: str, *components: Doc, stores: list[Doc] | None = None, **rest: Any) -> Scenario:
    """A week of these under a profile."""
    kitchen = {"rule_profile": profile, **({"rest": LOOSE} if profile == "uk" else {})}
    places = stores or [store("walk-in", "chilled", 20) | {"warmest": "4 °C"}]
    return scenario_of(week_of(*components, stores=places, kitchen=kitchen, **rest))


def found(scenario: Scenario, rule: str) -> list[Finding]:
    """What is said by one rule."""
    return [f for f in check(scenario) if f.rule == rule]


@pytest.mark.parametrize(
    ("profile", "place", "standing", "said"),
    [
        ("us", {"warmest": "7 °C"}, Standing.BROKEN, "7 °C at the warmest; at most 5 °C"),
        ("uk", {"warmest": "7 °C"}, Standing.FINE, "at most 8 °C"),
        ("us", {"warmest": "4.5 °C"}, Standing.NEAR, "4.5 °C at the warmest"),
        ("us", {}, Standing.UNKNOWN, "says no temperature; called 'chilled'"),
    ],
)
def test_a_cold_room_is_held_against_the_limit(
    profile: str, place: Doc, standing: Standing, said: str
) -> None:
    """5 °C: FDA Food Code 3-501.16(A)(2); 8 °C: SI 2013/2996 Schedule 4 para. 2."""
    (one,) = found(week(profile, soup(), stores=[store("walk-in", "chilled", 9) | place]), "cold")
    assert one.standing is standing
    assert said in one.said
    assert one.enforced == (standing is Standing.BROKEN)


def test_a_warm_room_that_holds_nothing_that_matters_is_a_note() -> None:
    cellar = store("cellar", "wine", 9) | {"warmest": "12 °C"}
    larder = store("walk-in", "chilled", 9) | {"warmest": "4 °C"}
    notes = found(week("us", soup(), stores=[larder, cellar]), "cold")
    assert [(f.where, f.standing) for f in notes] == [
        ("walk-in", Standing.FINE), ("cellar", Standing.NOTE),
    ]  # fmt: skip
    kept_there = soup(keeps=keep("24 h", "wine"))
    broken = found(week("us", kept_there, stores=[larder, cellar]), "cold")
    assert broken[1].standing is Standing.BROKEN


@pytest.mark.parametrize(
    ("profile", "standing"), [("us", Standing.FINE), ("uk", Standing.BROKEN)]
)
def test_a_hot_cupboard_at_sixty_is_hot_in_one_country(profile: str, standing: Standing) -> None:
    """57 °C: FDA Food Code 3-501.16(A)(1); 63 °C: WSI 2006/31 Schedule 4 para. 3."""
    cupboard = store("cupboard", "hot", 9) | {"coldest": "60 °C"}
    (one,) = found(week(profile, soup(keeps=keep("3 h", "hot")), stores=[cupboard]), "hot")
    assert one.standing is standing


def held(celsius: int) -> Doc:
    """It waits in the oven."""
    waits = {"at_most": "3 h", "in_machine": True}
    bake = step("bake", "60 min", on=[in_oven(celsius)], then=waits)
    return soup(bake, step("cut", "30 min", hands=1))


@pytest.mark.parametrize(
    ("celsius", "standing"), [(80, Standing.FINE), (57, Standing.NEAR), (50, Standing.NOTE)]
)
def test_what_waits_in_an_oven_that_is_not_hot_enough_is_told(
    celsius: int, standing: Standing
) -> None:
    """57 °C: FDA Food Code 3-501.16(A)(1). Below, it is out: 3-501.19(B) has 4 h for that."""
    scenario = week("us", held(celsius), equipment=[oven()])
    (one,) = (f for f in found(scenario, "hot") if "waits at" in f.said)
    assert one.standing is standing
    assert ("counts as out" in one.said) == (standing is Standing.NOTE)


def roast(core: Any, **words: Any) -> Doc:
    """Beef out of the oven into the hot cupboard."""
    bake = step("bake", "3 h", on=[in_oven(90)], core=core)
    return component("beef", bake, keeps=keep("6 h", "hot"), food_class="raw-meat", **words)


TABLE = {"at": "54.4 °C", "for": "112 min"}


@pytest.mark.parametrize(
    ("warm", "made", "standing"),
    [
        ("54 °C", roast(TABLE), Standing.NEAR),
        ("53 °C", roast(TABLE), Standing.BROKEN),
        ("54 °C", soup(keeps=keep("3 h", "hot")), Standing.BROKEN),
        ("54 °C", roast({"at": "54.4 °C", "for": "30 min"}), Standing.BROKEN),
        ("54 °C", roast(TABLE) | {"food_class": "raw-poultry"}, Standing.BROKEN),
    ],
)
def test_a_roast_cooked_by_the_table_may_be_kept_less_hot(
    warm: str, made: Doc, standing: Standing
) -> None:
    """54 °C for roasts cooked by 3-401.11(B): FDA Food Code 3-501.16(A)(1); 57 °C for the rest."""
    cupboard = store("cupboard", "hot", 9) | {"coldest": warm}
    scenario = week("us", made, stores=[cupboard], equipment=[oven()])
    (one,) = found(scenario, "hot")
    assert one.standing is standing
    (counted,) = found(scenario, "exposure")
    assert counted.standing is Standing.FINE


def test_in_the_hot_cupboard_at_54_a_roast_waits_six_hours_and_a_soup_four() -> None:
    """3-501.16(A)(1), and 3-501.19(B) for what is neither cold nor hot."""
    cupboard = store("cupboard", "hot", 9) | {"coldest": "54 °C"}
    for made, out in ((roast(TABLE), False), (soup(keeps=keep("6 h", "hot")), True)):
        late = made | {"keeps": [made["keeps"][0] | {"not_before": "5 h"}]}
        scenario = week("us", late, stores=[cupboard], equipment=[oven()])
        (one,) = found(scenario, "exposure")
        assert (one.standing is Standing.BROKEN) is out
        if not out:
            plan = plan_week(scenario, seconds=1, deterministic=True)
            report = audit(scenario, plan)
            assert report.valid and report.served
            anz = scenario.under("anz")
            assert "exposure" in audit(anz, plan).rules()


def again(profile: str, **words: Any) -> list[Finding]:
    """Soup from the cold, made hot and kept hot."""
    rest = {"methods": words.pop("methods", [])}
    heat = step("heat", words.pop("time", "60 min"), kept="hot", takes=[take("soup")], **words)
    hot = component("hot-soup", heat, keeps=keep("2 h", "hot"), food_class="ready", **rest)
    stores = [
        store("walk-in", "chilled", 9) | {"warmest": "4 °C"},
        store("cupboard", "hot", 9) | {"coldest": "70 °C"},
    ]
    scenario = week(profile, soup(), hot, stores=stores)
    return [f for f in check(scenario) if f.rule.startswith("reheat") and f.where != "reheat"]


def test_what_is_reheated_for_the_hot_cupboard_is_hot_enough_and_soon() -> None:
    """FDA Food Code 3-403.11: 74 °C for 15 s, within 2 h."""
    core, within = again("us", core="76 °C")
    assert core.standing is within.standing is Standing.FINE
    core, within = again("us", core="70 °C", time={"at_least": "2 h 1 min", "at_most": "3 h"})
    assert core.standing is within.standing is Standing.BROKEN
    assert core.enforced
    assert within.enforced
    assert "reheated to 70 °C; at least 74 °C for 15 s" in core.said
    assert "reheated in 2 h 1 min at least; within 2 h" in within.said
    assert again("us")[0].standing is Standing.UNKNOWN


def test_a_reading_of_165_fahrenheit_is_what_the_code_asks() -> None:
    """FDA Food Code 3-403.11(A): 74 °C (165 °F); 165 °F are 73.9 °C."""
    assert again("us", core="165 °F")[0].standing is Standing.FINE
    assert again("us", core="164 °F")[0].standing is Standing.BROKEN


@pytest.mark.parametrize(
    ("time", "said"),
    [
        ({"at_least": "1 h", "at_most": "3 h"}, "reheated in 3 h at most; within 2 h"),
        (
            {"at_least": "1 h 30 min", "plus": "5 min", "per": "1 portion"},
            "reheated in 2 h 20 min at most for 10 portions; within 2 h",
        ),
    ],
)
def test_what_may_take_longer_than_two_hours_is_told_and_no_plan_lets_it(
    time: Doc, said: str
) -> None:
    """FDA Food Code 3-403.11(D): 2 h."""
    _, within = again("us", core="76 °C", time=time)
    assert within.standing is Standing.NEAR and not within.enforced
    assert within.said == f"{said}, and no plan takes longer"


def test_another_method_of_reheating_is_looked_at_too() -> None:
    """FDA Food Code 3-403.11(A) and (D)."""
    slow = step("bath", "3 h", kept="hot", core="60 °C", takes=[take("soup")])
    found = again("us", core="76 °C", methods=[{"id": "bath", "steps": [slow]}])
    assert [(f.where, f.standing.value) for f in found] == [
        ("hot-soup, heat", "fine"), ("hot-soup, heat", "fine"),
        ("hot-soup, bath", "broken"), ("hot-soup, bath", "broken"),
    ]  # fmt: skip


def test_a_figure_from_memory_is_told_and_not_enforced() -> None:
    """82 °C: SSI 2006/3 Schedule 4 para. 3, from memory; no time is given."""
    (core,) = again("uk", core="76 °C")
    assert core.standing is Standing.BROKEN
    assert not core.enforced


def test_what_is_served_at_once_is_not_reheated_for_holding() -> None:
    """FDA Food Code 3-403.11(A) is about what is kept hot."""
    warm = dish("plate", steps=[step("warm", "30 min", hands=1, takes=[take("soup")])])
    assert not found(week("us", soup(), dishes=[warm]), "reheat")


def cupboard(*steps: Doc, **rest: Any) -> list[Finding]:
    """What is said of soup from the walk-in that goes into the hot cupboard by these steps."""
    cold = soup(step("mix", "30 min", hands=1))
    first, *others = steps
    hot = component("bowls", first | {"takes": [take("soup")]}, *others, food_class="ready",
                    keeps=keep("3 h", "hot"))  # fmt: skip
    places = [store("walk-in", "chilled", 20) | {"warmest": "4 °C"},
              store("cupboard", "hot", 9) | {"coldest": "65 °C"}]  # fmt: skip
    return [f for f in found(week("us", cold, hot, stores=places, **rest), "reheat")
            if f.where == "bowls"]  # fmt: skip


def test_soup_from_the_walk_in_does_not_get_hot_in_a_hot_cupboard() -> None:
    """FDA Food Code 3-403.11(A): reheated to 74 °C for hot holding."""
    (one,) = cupboard(step("portion", "30 min", hands=1))
    assert one.standing is Standing.UNKNOWN and "no hot cupboard heats" in one.said
    assert cupboard(step("heat", "30 min", hands=1, core="75 °C")) == []
    assert cupboard(step("heat", "30 min", hands=1, kept="hot")) == []
    heat, stand = step("heat", "30 min", hands=1, core="75 °C"), step("stand", "2 h", kept="cold")
    (again,) = cupboard(heat, stand)
    assert again.standing is Standing.UNKNOWN


def test_a_plate_of_cold_soup_does_not_get_hot_in_a_hot_cupboard() -> None:
    """The same of what is plated cold and then kept hot."""
    places = [store("walk-in", "chilled", 20) | {"warmest": "4 °C"},
              store("cupboard", "hot", 9) | {"coldest": "65 °C"}]  # fmt: skip
    stands = {"zone": "hot", "at_most": "2 h", "per_shelf": "9 portions"}
    plate = dish("plate", "soup", keeps=stands)
    cold = soup(step("mix", "30 min", hands=1))
    (one,) = found(week("us", cold, stores=places, dishes=[plate]), "reheat")
    assert (one.where, one.standing) == ("plate", Standing.UNKNOWN)
    lukewarm = soup(step("boil", "30 min", hands=1, kept="hot"), keeps=keep("2 h", "hot"))
    assert found(week("us", lukewarm, stores=places, dishes=[plate]), "reheat") == []

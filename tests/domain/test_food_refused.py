"""Words of the rules of food as a tired or hostile hand writes them: one sentence each, where it
stands, with the value and what was probably meant."""
# ruff: noqa: E501 - one mistake a line reads best.

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from scheduler.domain.finding import find_scenario
from scheduler.domain.plausible import doubted
from scheduler.domain.profiles import NAMES, profile
from scheduler.domain.reading import read_scenario, scenario_of
from scheduler.safety.check import check
from scheduler.safety.gate import gate
from scheduler.workload.compile import compile_week
from scheduler.workload.work import work_out
from tests.domain.test_cooling_refused import said, written
from tests.weeks.tiny import Document, component, cook, kind, step, week_of
from tests.weeks.tiny import store as place

Change = Callable[[Document], Any]
GONE: Any = None
SHORT = {"days": ["thu", "fri"], "hours": "09:00-13:00"}


def kitchen() -> Document:
    """A small kitchen with a word of each kind to spoil."""
    week = week_of(
        component("jus", step("reduce", "60 min", hands=1, in_loads=True, on=[{"equipment": "stone"}])),
        component(
            "pumpkin",
            step("ferment", "12 h", test={"measure": "pH", "target": "at most 4.6"}),
            step("press", "5 min", hands=1),
        ),
        equipment=[kind("stone", fill="5 portions", clean_down={"time": "10 min"})],
        people=[cook("ada"), cook("emil", SHORT, born="2010-04-18")],
        stores=[
            place("walk-in", "chilled", 20) | {"warmest": "4 °C"},
            place("freezer", "frozen", 20) | {"warmest": "-18 °C"},
            place("hot-cupboard", "hot", 20) | {"coldest": "65 °C"},
        ],
    )
    week["kitchen"] |= {
        "rule_profile": "eu",
        "rest": {"daily_rest": "warned", "weekly_rest": "warned", "breaks": "warned"},
        "own_limits": {"cold": {"value": "5 °C"}},
    }
    return week


def own(**limits: Any) -> Change:
    return lambda week: week["kitchen"]["own_limits"].update(limits)


def value(name: str, figure: Any, **more: Any) -> Change:
    return own(**{name: {"value": figure} | more})


def windows(*falls: tuple[str, str, str]) -> Change:
    return own(cooling={"windows": [{"from": a, "to": b, "within": c} for a, b, c in falls]})


def store(name: str, **words: Any) -> Change:
    return lambda week: next(s for s in week["kitchen"]["stores"] if s["id"] == name).update(words)


def jus(**words: Any) -> Change:
    """Words of the first step of a recipe that cooks."""

    def change(week: Document) -> None:
        recipe = next(c for c in week["components"] if c["id"] == "jus")
        next(s for s in recipe["steps"] if s["id"] == "reduce").update(words)

    return change


def ferment(target: Any) -> Change:
    def change(week: Document) -> None:
        recipe = next(c for c in week["components"] if c["id"] == "pumpkin")
        next(s for s in recipe["steps"] if s["id"] == "ferment")["test"]["target"] = target

    return change


def stone(**words: Any) -> Change:
    def change(week: Document) -> None:
        kinds = week["kitchen"]["equipment"]
        next(k for k in kinds if k["id"] == "stone")["clean_down"].update(words)

    return change


def born(day: str) -> Change:
    return lambda week: next(p for p in week["kitchen"]["people"] if p.get("born")).update(born=day)


OWN = "kitchen, own_limits, "
SAID: list[tuple[str, Change, str]] = [
    # Stores.
    ("a fridge in °F", store("walk-in", coldest=GONE, warmest="41 °C"),
     "store walk-in, warmest: 41 °C, and it is called chilled. Maybe °F was meant: '5 °C'"),
    ("a freezer in °F", store("freezer", coldest=GONE, warmest="0"),
     "store freezer, warmest: 0 °C, and it is called frozen. Maybe '-18 °C'"),
    ("a sign that was lost", store("freezer", coldest=GONE, warmest="18 °C"),
     "store freezer, warmest: 18 °C, and it is called frozen. Maybe '-18 °C'"),
    ("a hot cupboard in °F", store("hot-cupboard", coldest="65 °C", warmest="165"),
     "store hot-cupboard, warmest: 165 °C: food waits in no such place. Maybe °F was meant: '73.9 °C'"),
    ("a decimal comma", store("walk-in", warmest="4,5 °C"),
     "store walk-in, warmest: '4,5 °C' is not a temperature. Maybe '4.5 °C'"),
    ("kelvin", store("walk-in", warmest="278 K"),
     "store walk-in, warmest: '278 K' is not a temperature. Maybe '5 °C'"),
    ("in words", store("walk-in", warmest="4 degrees"),
     "store walk-in, warmest: '4 degrees' is not a temperature. Maybe '4 °C'"),
    ("a range", store("walk-in", warmest="1-4 °C"),
     "store walk-in, warmest: '1-4 °C' is not a temperature. Write it like '5 °C'"),
    # A kitchen's own limits.
    ("cold in °F", value("cold", "41"),
     OWN + "cold, value: 41 °C is not between -5 and 15 °C. Maybe °F was meant: '5 °C'"),
    ("hot in °F", value("hot", "135"),
     OWN + "hot, value: 135 °C is not between 45 and 90 °C. Maybe °F was meant: '57.2 °C'"),
    ("cold that is neither", value("hot", "20 °C"),
     OWN + "hot, value: 20 °C is not between 45 and 90 °C"),
    ("°C with the wrong letter", value("hot", "63 °F"),
     OWN + "hot, value: 17.2222 °C is not between 45 and 90 °C. Maybe °C was meant: '63 °C'"),
    ("a bare limit", own(cold="5 °C"),
     OWN + "cold: lines of 'key: value' are expected here, not '5 °C'. Maybe 'value: 5 °C'"),
    ("poultry in °F", value("cook_poultry", "165"),
     OWN + "cook_poultry, value: 165 °C is not between 45 and 100 °C. Maybe °F was meant: '73.9 °C'"),
    ("egg in °F", value("cook_egg", "155"),
     OWN + "cook_egg, value: 155 °C is not between 45 and 100 °C. Maybe °F was meant: '68.3 °C'"),
    ("roasts kept hot in °F", value("hot_roasts", "130"),
     OWN + "hot_roasts, value: 130 °C is not between 45 and 90 °C. Maybe °F was meant: '54.4 °C'"),
    ("two scales that disagree", value("cook_whole", "63 °C", fahrenheit=63),
     OWN + "cook_whole, fahrenheit: 63 °F is 17.2 °C and not 63 °C. Maybe 145"),
    ("seconds with a unit", value("cook_whole", "63 °C", seconds="15 s"),
     OWN + "cook_whole, seconds: '15 s' is not a whole number. Maybe 15"),
    ("fish frozen at +20", own(parasites={"ways": [{"at": "20 °C", "held": "7 d"}]}),
     OWN + "parasites, ways, at: 20 °C is not between -60 and -10 °C. Maybe '-20 °C'"),
    ("fish frozen through at +35", own(parasites={"ways": [
        {"at": "-20 °C", "held": "7 d"}, {"at": "-20 °C", "held": "24 h", "solid": "35 °C"}]}),
     OWN + "parasites, ways 2, solid: 35 °C is not between -60 and -10 °C. Maybe '-35 °C'"),
    ("frozen for hours, not days", own(parasites={"ways": [{"at": "-20 °C", "held": "7 h"}]}),
     OWN + "parasites, ways, held: 7 h in the cold; 12 h to 60 d were expected. Maybe '7 d'"),
    ("food out for days", value("exposure", "4 d"),
     OWN + "exposure, value: 4 d is longer than 1 d. Maybe '4 h'"),
    ("food never out", value("exposure", "0 min"),
     OWN + "exposure, value: no time at all: nothing could be kept within that"),
    ("cleaned without end", value("clean_every", "0 h"),
     OWN + "clean_every, value: no time at all: nothing could be kept within that"),
    ("hours for days", value("date_mark", 168),
     OWN + "date_mark, value: 168 days of use; at most 90 were expected. Maybe 7"),
    ("days with a unit", value("date_mark", "7 days"),
     OWN + "date_mark, value: '7 days' is not a whole number. Maybe 7"),
    ("pH 46", value("acid", 46), OWN + "acid, value: pH 46 is not between 3 and 5. Maybe '4.6'"),
    ("pH 7", value("acid", 7), OWN + "acid, value: pH 7 is not between 3 and 5"),
    ("cooling upwards", windows(("21 °C", "57 °C", "2 h")),
     OWN + "cooling, windows: from 21 °C to 57 °C is no cooling"),
    ("no window", windows(), OWN + "cooling, windows: at least 1 wanted here, not 0"),
    ("roasts in °F", own(roasts={"rows": [{"core": 130, "seconds": 6720}, {"core": 140, "seconds": 720}]}),
     OWN + "roasts, rows 1, core: 130 °C is not between 45 and 100 °C. Maybe °F was meant: '54.4 °C'"),
    ("a table upside down", own(roasts={"rows": [{"core": 60, "seconds": 720}, {"core": 55, "seconds": 100}]}),
     OWN + "roasts: 55 °C is out of order in the table of roasts"),
    ("a list that there is not", own(allergens={"items": "uk"}),
     OWN + "allergens, items: there is no list of allergens 'uk', only eu and us"),
    ("evidence of one's own", value("cold", "5 °C", evidence="trust me"),
     OWN + "cold, evidence: 'trust me' is none of: seen, second hand, from memory, common practice, our own"),
    ("a limit misspelt", own(colling={"windows": []}),
     OWN + "colling: there is no 'colling' here. Maybe 'cooling'"),
    ("confirmed by nobody", lambda week: week["kitchen"].update(confirmed={"cold": ""}),
     "kitchen, confirmed, cold: an empty text"),
    ("a misspelt limit confirmed", lambda week: week["kitchen"].update(confirmed={"reheet": "me"}),
     "kitchen, confirmed: 'reheet' is no limit of food safety. Maybe reheat"),
    # People.
    ("born after the week", born("2030-04-18"),
     "person emil, born: 2030-04-18 lies after the week begins; a birth date is due"),
    ("an infant", born("2024-04-18"),
     "person emil, born: Thu 6 May: is 3; nobody under 15 works (94/33/EC art. 1 and 4; from memory, not confirmed)"),
    # Recipes.
    ("the core in °F", jus(core="165"),
     "recipe jus, step reduce, core: 165 °C at the core is not between 30 and 110 °C. Maybe °F was meant: '73.9 °C'"),
    ("a cold core", jus(core="20 °C"),
     "recipe jus, step reduce, core: 20 °C at the core is not between 30 and 110 °C"),
    ("held for seconds", jus(core={"at": "74 °C", "for": "15 s"}),
     "recipe jus, step reduce, core, for: '15 s' is in seconds, and times are whole minutes. Maybe '1 min'"),
    ("held for days", jus(core={"at": "74 °C", "for": "30 d"}),
     "recipe jus, step reduce, core: 30 d at the core is longer than 4 d. Maybe '30 min'"),
    ("kept chilled", jus(kept="chilled"),
     "recipe jus, step reduce, kept: 'chilled' is none of: cold, frozen, hot, out. Maybe 'cold'"),
    ("kept warm", jus(kept="warm"),
     "recipe jus, step reduce, kept: 'warm' is none of: cold, frozen, hot, out. Maybe 'hot'"),
    ("a hazard misspelt", jus(hazards=["hotoil"]),
     "recipe jus, step reduce, hazards: unknown hazard 'hotoil'. Maybe 'hot-oil'"),
    ("a hazard nobody writes", jus(hazards=["lone-night"]),
     "recipe jus, step reduce, hazards: 'lone-night' is written by nobody: it follows from who is in the house"),
    ("a pH below nothing", ferment("pH -1"),
     "recipe pumpkin, step ferment, test: pH -1 is not between 0 and 14"),
    # Cleaning: what takes the machine is not told off as well.
    ("cleaned sometimes", stone(between="sometimes"),
     "equipment stone, clean_down, between: 'sometimes' is none of: contents, allergens, any change"),
    ("cleaned in no time", stone(time="0 min"),
     "equipment stone, clean_down, time: '0 min' must be more than 0"),
    ("no caution", stone(caution=""), "equipment stone, clean_down, caution: an empty text"),
]  # fmt: skip


def test_a_figure_is_doubted_where_it_stands_though_the_kitchen_is_spoilt_elsewhere() -> None:
    week = kitchen()
    value("cold", "41")(week)
    week["kitchen"]["sections"].append({"id": "Larder 2"})
    assert len(said(week)) == 2
    assert any(one.startswith("kitchen, own_limits, cold, value: 41 °C") for one in said(week))


@pytest.mark.parametrize(("change", "what"), [s[1:] for s in SAID], ids=[s[0] for s in SAID])
def test_a_slip_is_one_sentence_where_it_stands(change: Change, what: str) -> None:
    week = kitchen()
    change(week)
    assert said(week) == [what]


def test_a_cooling_in_fahrenheit_is_doubted_from_end_to_end() -> None:
    week = kitchen()
    windows(("135", "70", "2 h"), ("135", "41", "6 h"))(week)
    at = f"{OWN}cooling, windows"
    assert sorted(said(week)) == sorted([
        f"{at} 1, from: 135 °C is not between 20 and 100 °C. Maybe °F was meant: '57.2 °C'",
        f"{at} 1, to: 70 °C is not between -5 and 60 °C. Maybe °F was meant: '21.1 °C'",
        f"{at} 2, from: 135 °C is not between 20 and 100 °C. Maybe °F was meant: '57.2 °C'",
        f"{at} 2, to: 41 °C, beside °F. Maybe '5 °C'",
    ])  # fmt: skip


COOLED: list[tuple[str, Document, str]] = [
    ("a bath tub of soup", {"depth": GONE, "pan": "gn-1-1", "each": "800 l"},
     "`each`: '800 l' would lie 5385 mm deep, and the deepest GN 1/1 has 200 mm, about 30 l; maybe '800 ml' was meant"),
    ("over the rim", {"depth": GONE, "pan": "gn-1-2", "each": "20 l"},
     "`each`: '20 l' would lie 350 mm deep, and the deepest GN 1/2 has 200 mm, about 11 l"),
    ("less than nothing in it", {"depth": GONE, "pan": "gn-1-1", "each": "-8 l"},
     "`each`: '-8 l' must be more than nothing"),
    ("a pan of another size", {"depth": GONE, "pan": "gn-1-1", "each": "5 l", "mm_holds": "150 l"},
     "`mm_holds`: '150 l', and a millimetre of a GN 1/1 holds about 149 ml"),
    ("all of it in °F", {"from": "135 °C", "to": "41 °C"},
     "start 135 °C: food with water in it is never so hot; maybe °F was meant: 57 °C; and 41 °C then is 5 °C"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "what"), [c[1:] for c in COOLED], ids=[c[0] for c in COOLED])
def test_a_cooling_that_cannot_be_meant_names_its_cause(change: Document, what: str) -> None:
    assert said(written(change)) == [f"recipe soup, step cool, cooling: {what}"]


@pytest.mark.parametrize(
    ("word", "figure", "what"),
    [
        ("film", "8 W/m²K", "'8 W/m²K' has a unit; it is in W/m²K without one. Maybe 8"),
        ("film", "100000", "'100000' W/m²K is more than ice water that is stirred ever gives; still air gives about 8, a fan 20, a blast 60, ice water 300"),
        ("depth", '2"', "'2\"' is no length. Maybe '2 in'"),
        ("depth", "2 inches", "'2 inches' is no length. Maybe '2 in'"),
        ("depth", "50 MM", "'50 MM' is no length. Maybe '50 mm'"),
        ("depth", "2,5 cm", "'2,5 cm' has a comma. Maybe '2.5 cm'"),
    ],
)  # fmt: skip
def test_a_figure_of_a_cooling_says_what_it_is_written_like(
    word: str, figure: str, what: str
) -> None:
    assert said(written({word: figure})) == [f"recipe soup, step cool, cooling, {word}: {what}"]


@pytest.mark.parametrize(
    ("air", "hint"), [("9 °C", ""), ("29 °C", ""), ("37 °C", " (maybe 37 °F was meant: 3 °C)")]
)
def test_a_warm_fridge_is_no_fridge_in_fahrenheit(air: str, hint: str) -> None:
    """What a fridge says in °F lies above the air of a room in °C; 9 °F would be a freezer."""
    assert said(written({"air": air, "sets_time": True}, time=GONE)) == [
        f"recipe soup, step cool, cooling: it never gets to 5 °C in air at {air}: the air must be "
        f"colder than the target{hint}, so there is no time to set"
    ]


def test_what_food_is_made_of_may_be_written_in_per_cent() -> None:
    by_part = {"water": 0.7, "fat": "0.3"}
    by_hundred = {"water": "70 %", "fat": "30%"}
    read = []
    for shares in (by_part, by_hundred):
        scenario = scenario_of(written({"food": GONE, "made_of": shares}))
        cool = scenario.component["soup"].steps[1].cooling
        assert cool is not None
        read.append(cool.made_of)
        assert scenario_of(scenario.document()).sha256() == scenario.sha256()
    assert read[0] == read[1]
    assert said(written({"food": GONE, "made_of": {"water": "70 %", "fat": "20 %"}})) == [
        "recipe soup, step cool, cooling: the shares of the composition sum to 0.9, not 1: "
        "water 0.7 + fat 0.2; 0.1 is missing"
    ]


def test_a_cooling_that_ends_at_41_is_doubted_where_it_is_checked() -> None:
    """It may be meant: milk for yoghurt is cooled so far. So it is no error, and is told."""
    week = written({"to": "41 °C"}, time="40 min")
    week["kitchen"]["rule_profile"] = "us"
    week["components"][0]["food_class"] = "ready"
    (told,) = [f for f in check(scenario_of(week)) if f.rule == "cooling" and "reckoned" not in f.said]
    assert "It ends at 41 °C: maybe °F was meant, 5 °C" in told.said


@pytest.mark.parametrize("name", NAMES)
def test_no_published_limit_is_doubted(name: str) -> None:
    assert list(doubted(profile(name).food)) == []


@pytest.mark.parametrize("first", [GONE, "us"])
def test_whoever_follows_the_advice_about_a_profile_gets_a_plan(first: str | None) -> None:
    """Removed from the demo, or of a country without hours: the advice is taken literally."""
    week = read_scenario(find_scenario("demo")).document()
    week["kitchen"]["rule_profile"] = first
    if first is None:
        del week["kitchen"]["rule_profile"]
    (sentence,) = said(week)
    advised = re.search(r"Maybe 'rule_profile: ([a-z]+)'", sentence)
    assert advised is not None, sentence
    week["kitchen"]["rule_profile"] = advised[1]
    scenario = scenario_of(week)
    gate(scenario)
    compile_week(scenario, work_out(scenario))


def test_what_is_confirmed_is_in_the_profile_that_is_advised() -> None:
    """An empty kitchen of no country: `house` has no limit of its own to be looked up."""
    week = written({})
    week["kitchen"]["confirmed"] = {"reheat": "the chef, in May"}
    (sentence,) = said(week)
    advised = re.search(r"Maybe 'rule_profile: ([a-z]+)'$", sentence)
    assert advised is not None and "reheat" in dict(profile(advised[1]).food.named())
    week["kitchen"]["rule_profile"] = advised[1]
    scenario_of(week)

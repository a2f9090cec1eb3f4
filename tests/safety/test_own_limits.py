"""A kitchen may be stricter than its law silently; looser is told, and somebody answers for it."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.domain.limits import FoodLimits
from scheduler.domain.odds import at_odds
from scheduler.domain.plausible import doubted
from scheduler.domain.profiles import NAMES, food_limits, profile
from scheduler.domain.reading import scenario_of
from scheduler.safety.check import check
from scheduler.safety.finding import Finding, Standing
from tests.safety.test_profiles import LOOSE, kitchen, said

Words = dict[str, Any]

FDA = [
    {"from": "57 °C", "to": "21 °C", "within": "2 h"},
    {"from": "57 °C", "to": "5 °C", "within": "6 h"},
]
FSANZ = [
    {"from": "60 °C", "to": "21 °C", "within": "2 h"},
    {"from": "21 °C", "to": "5 °C", "within": "4 h"},
]
SEVEN_LOGS = [
    (54.4, 7260), (55.0, 5820), (56.1, 3720), (57.2, 2220), (57.8, 1920), (58.9, 1140),
    (60.0, 720), (61.1, 480), (62.2, 300), (62.8, 240), (63.9, 144), (65.0, 91), (66.1, 58),
    (67.2, 37), (68.3, 23), (69.4, 15), (70.0, 0),
]  # fmt: skip
"""FSIS Appendix A, the column for 7 logs (as quoted by others); the Food Code's is that for 6.5."""


def told(name: str, profile_: str, own: Words, **rest: Any) -> list[Finding]:
    """What is said of an own limit beside the published one, or of one that is from memory."""
    words = {"rest": LOOSE} if profile_ == "uk" else {}
    scenario = scenario_of(kitchen(rule_profile=profile_, own_limits={name: own}, **words, **rest))
    return [f for f in check(scenario) if f.rule == name and f.where == name.replace("_", " ")]


def holds(name: str, profile_: str, own: Words) -> str:
    """The limit that holds in such a kitchen, as it is written."""
    scenario = scenario_of(kitchen(rule_profile=profile_, own_limits={name: own}))
    return str(dict(food_limits(scenario.kitchen).named())[name])


def frozen(*ways: tuple[str, str]) -> Words:
    """Ways of freezing: at, held."""
    return {"ways": [{"at": at, "held": held} for at, held in ways]}


def rows(table: list[tuple[float, int]]) -> Words:
    """A table of roasts."""
    return {"rows": [{"core": f"{core} °C", "seconds": seconds} for core, seconds in table]}


LOOSER: list[tuple[str, str, Words, str, str]] = [
    ("cold", "us", {"value": "8 °C"}, "8 °C", "5 °C"),
    ("hot", "us", {"value": "55 °C"}, "55 °C", "57 °C"),
    ("exposure", "us", {"value": "12 h"}, "12 h", "4 h"),
    ("exposure", "anz", {"value": "4 h"}, "4 h", "less than 4 h"),
    ("exposure", "us", {"value": "3 h", "counts": "waiting"}, "3 h", "4 h"),
    ("rechill", "anz", {"value": "3 h"}, "3 h", "less than 2 h"),
    ("reheat", "us", {"value": "70 °C", "seconds": 120}, "70 °C for 120 s", "74 °C for 15 s"),
    ("reheat", "us", {"value": "74 °C"}, "74 °C", "74 °C for 15 s"),
    ("reheat_within", "us", {"value": "3 h"}, "3 h", "2 h"),
    ("cook_poultry", "us", {"value": "70 °C", "seconds": 15}, "70 °C", "74 °C for 15 s"),
    ("cook_minced", "us", {"value": "63 °C", "seconds": 120}, "63 °C", "68 °C for 15 s"),
    ("parasites", "us", frozen(("-18 °C", "7 d")), "at -18 °C", "at -20 °C for 7 d"),
    ("parasites", "us", frozen(("-20 °C", "24 h")), "at -20 °C", "at -20 °C for 7 d"),
    ("date_mark", "us", {"value": 9}, "9", "7"),
    ("date_mark_beyond", "us", {"value": "2 d"}, "2 d", "1 d"),
    ("acid", "us", {"value": "4.8"}, "4.8", "4.6"),
    ("clean_every", "us", {"value": "5 h"}, "5 h", "4 h"),
    (
        "clean_every_cold", "us", {"rows": [{"room": "10 °C", "every": "24 h"}]},
        "at 10 °C", "at 5 °C",
    ),
    ("cooling", "anz", {"windows": FDA}, "57 °C to 21 °C within 2 h", "60 °C to 21 °C within 2 h"),
    ("cooling", "us", {"windows": FDA[1:]}, "57 °C to 5 °C", "57 °C to 21 °C within 2 h"),
    ("cooling_mixed", "us", {"windows": FDA}, "57 °C to 21 °C", "21 °C to 5 °C within 4 h"),
    ("roasts", "us", rows([(54.4, 3000), (70.0, 0)]), "54.4 °C for 3000 s", "54.4 °C for 6720 s"),
    ("allergens", "us", {"items": "eu"}, "list 'eu'", "list 'us'"),
]


@pytest.mark.parametrize(("name", "law", "own", "mine", "published"), LOOSER)
def test_a_looser_limit_is_told_and_does_not_hold_by_itself(
    name: str, law: str, own: Words, mine: str, published: str
) -> None:
    """FDA Food Code and FSANZ 3.2.2 as in the profiles.

    21 °C after 1 h and 5 °C after 5.8 h passes the one (3-501.14(A)) and fails the other (7(3)).
    """
    (found,) = told(name, law, own)
    assert found.standing is Standing.BROKEN
    assert not found.enforced, "it is the published one that plans are held to"
    assert found.said.startswith(f"own limit {mine}")
    assert f"is looser than the published one, {published}" in found.said
    assert found.source
    assert holds(name, law, own).startswith(published)
    (answered,) = told(name, law, own | {"confirmed": "chef, 3 May: a variance"})
    assert answered.standing is Standing.NOTE
    assert "looked up by chef, 3 May: a variance" in answered.said
    assert holds(name, law, own | {"confirmed": "chef, 3 May: a variance"}).startswith(mine)


@pytest.mark.parametrize("word", [{"advice": True}, {"evidence": "from memory"}])
def test_a_law_is_not_turned_into_advice_silently(word: Words) -> None:
    own = {"value": "5 °C", **word}
    (found,) = told("cold", "us", own)
    assert found.standing is Standing.BROKEN
    assert "is only told, and so looser than the published one, 5 °C" in found.said
    scenario = scenario_of(kitchen(rule_profile="us", own_limits={"cold": own}))
    held = food_limits(scenario.kitchen).cold
    assert held is not None and held.hard


STRICTER: list[tuple[str, str, Words]] = [
    ("cold", "us", {"value": "5 °C"}),
    ("cold", "uk", {"value": "5 °C"}),
    ("hot", "us", {"value": "63 °C"}),
    ("exposure", "us", {"value": "4 h", "strictly": True}),
    ("exposure", "anz", {"value": "3 h"}),
    ("rechill", "anz", {"value": "1 h"}),
    ("cook_whole", "us", {"value": "145 °F", "seconds": 15}),
    ("cook_poultry", "us", {"value": "75 °C", "seconds": 15}),
    ("cook_minced", "us", {"value": "63 °C", "seconds": 180}),
    ("cook_egg", "us", {"value": "70 °C"}),
    ("parasites", "us", frozen(("-35 °C", "7 d"))),
    ("parasites", "us", frozen(("-20 °C", "7 d"))),
    ("date_mark", "us", {"value": 5}),
    ("cooling", "us", {"windows": FSANZ}),
    ("roasts", "us", rows(SEVEN_LOGS)),
    ("rechill", "us", {"value": "2 h"}),
    ("clean_every_cold", "us", {"rows": [{"room": "5 °C", "every": "12 h"}]}),
]


@pytest.mark.parametrize(("name", "law", "own"), STRICTER)
def test_a_kitchen_is_stricter_silently(name: str, law: str, own: Words) -> None:
    """FSANZ 3.2.2 cl. 7(3) lets nothing pass that the Food Code's 3-501.14(A) does not."""
    assert not told(name, law, own)


def test_who_answers_may_be_said_with_the_profile() -> None:
    (found,) = told("cold", "us", {"value": "8 °C"}, confirmed={"cold": "ada, 3 May"})
    assert found.standing is Standing.NOTE
    assert "it holds by the kitchen's word" in found.said


def test_beside_what_is_only_told_the_kitchens_own_limit_holds() -> None:
    """82 °C: SSI 2006/3 Schedule 4 para. 3, from memory, so nobody is held to it."""
    (found,) = told("reheat", "uk", {"value": "75 °C"})
    assert found.standing is Standing.NOTE
    assert "is looser than the published one, 82 °C, which is only told" in found.said
    scenario = scenario_of(
        kitchen(rule_profile="uk", rest=LOOSE, own_limits={"reheat": {"value": "75 °C"}})
    )
    held = food_limits(scenario.kitchen).reheat
    assert held is not None and held.hard and held.value == 75


@pytest.mark.parametrize(
    ("law", "own", "sentence"),
    [
        (
            "anz",
            {"exposure": {"value": "1 h"}},
            "own_limits, exposure: `rechill` less than 2 h is longer than `exposure` 1 h; "
            "`rechill` is that of the rule profile (FSANZ Standard 3.2.2",
        ),
        (
            "us",
            {"rechill": {"value": "5 h"}},
            "own_limits, rechill: `rechill` 5 h is longer than `exposure` 4 h; `exposure` is that",
        ),
        (
            "us",
            {"cooling": {"windows": [{"from": "80 °C", "to": "58 °C", "within": "1 h"}, *FDA]}},
            "own_limits, cooling: `cooling`: 80 °C to 58 °C within 1 h, and at 57 °C it is still "
            "kept hot; `hot` is that of the rule profile",
        ),
        (
            "house",
            {
                "cooling": {
                    "windows": [
                        {"from": "57 °C", "to": "21 °C", "within": "6 h"},
                        {"from": "57 °C", "to": "5 °C", "within": "2 h"},
                    ]
                }
            },
            "57 °C to 21 °C within 6 h is part of 57 °C to 5 °C within 2 h, which allows less",
        ),
        ("house", {"exposure": {"value": "0 h"}}, "own_limits, exposure, value: no time at all"),
        ("house", {"clean_every": {"value": "0 min"}}, "clean_every, value: no time at all"),
        ("house", {"reheat_within": {"value": "1 min"}}, "1 min is shorter than 10 min"),
        ("house", {"exposure_hot": {"value": "3 d"}}, "3 d is longer than 1 d. Maybe '3 h'"),
    ],
)
def test_limits_that_cannot_be_meant_are_said_at_their_place(
    law: str, own: Words, sentence: str
) -> None:
    assert sentence in said(kitchen(rule_profile=law, own_limits=own))


@pytest.mark.parametrize("name", NAMES)
def test_no_published_limit_is_taken_for_a_slip_of_the_pen(name: str) -> None:
    assert not [*doubted(profile(name).food), *at_odds(profile(name).food)]


def test_cold_is_colder_than_hot() -> None:
    food = FoodLimits.model_validate({"cold": {"value": "60 °C"}, "hot": {"value": "57 °C"}})
    ((names, sentence),) = at_odds(food)
    assert names == ("cold", "hot")
    assert "nothing between" in sentence


def test_under_the_published_profile_the_own_limit_is_gone() -> None:
    own = {"cold": {"value": "8 °C", "confirmed": "ada"}}
    scenario = scenario_of(kitchen(rule_profile="us", own_limits=own))
    assert food_limits(scenario.under("us").kitchen).cold == profile("us").food.cold

"""A slip of the pen (°F, centimetres, the wrong way round) gives a sentence and no number."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.heat.cooling import Cooling, Never, Window, thickest, verdicts
from scheduler.heat.defaults import foods, methods
from tests.heat.limits import FDA

SOUP = foods()["soup"].composition
FILMS = "above 0 was expected (still air about 8, a fan 20, a blast 60)"


def cooling(**changed: Any) -> Cooling:
    written: dict[str, Any] = {
        "food": SOUP, "shape": "slab", "across": 50, "start": 90, "target": 5, "air": 3, "film": 20
    }  # fmt: skip
    return Cooling(**(written | changed))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"start": 165},
         "start 165 °C: food with water in it is never so hot; maybe °F was meant: 74 °C"),
        ({"start": 900}, "start 900 °C: food with water in it is never so hot"),
        ({"start": float("nan")}, "start nan °C: food with water in it is never so hot"),
        ({"air": 70}, "air 70 °C: nothing cools in air so warm; maybe °F was meant: 21 °C"),
        ({"air": -70}, "air -70 °C: no kitchen is so cold"),
        ({"target": -61}, "target -61 °C: no kitchen is so cold"),
        ({"target": -18, "air": -30},
         "target -18 °C: below 0 °C food freezes, and this reckons no ice"),
        ({"start": 5, "target": 57},
         "from 5 °C to 57 °C: nothing to cool; maybe it is the other way round"),
        ({"across": 0}, "thickness 0 mm: more than nothing was expected"),
        ({"across": -50}, "thickness -50 mm: more than nothing was expected"),
        ({"across": 1001, "shape": "cylinder"},
         "diameter 1001 mm: more than a metre; millimetres were expected"),
        ({"film": 0},
         f"film coefficient 0 W/m²K: {FILMS}"),
        ({"film": -8},
         f"film coefficient -8 W/m²K: {FILMS}"),
        ({"shape": "sphere", "faces": "one"}, "one face of a sphere: only a slab has two"),
    ],
)  # fmt: skip
def test_a_slip_of_the_pen_is_one_sentence(changed: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError) as raised:
        cooling(**changed)
    assert str(raised.value) == said


def test_all_slips_are_said_at_once() -> None:
    with pytest.raises(ValueError) as raised:
        cooling(start=165, across=0, film=0)
    assert len(str(raised.value).split("\n")) == 3


@pytest.mark.parametrize(
    ("window", "said"),
    [
        ((135, 70, 120), "a limit from 135 °C: food with water in it is never so hot; "
                         "maybe °F was meant: 57 °C"),
        ((21, 57, 120), "a limit from 21 to 57 °C: the first is warmer"),
        ((57, 21, 0), "a limit of 0 min: more than none was expected"),
    ],
)  # fmt: skip
def test_a_limit_that_cannot_be_meant_is_refused(
    window: tuple[float, float, float], said: str
) -> None:
    with pytest.raises(ValueError) as raised:
        Window(*window)
    assert str(raised.value) == said


def test_no_time_is_given_for_what_would_freeze() -> None:
    with pytest.raises(ValueError, match="target -18 °C: below 0 °C food freezes"):
        cooling(air=-30).time_to(-18)
    assert isinstance(cooling(air=-30).time_to(1), float)


def test_from_cold_to_warm_is_no_cooling() -> None:
    with pytest.raises(ValueError, match="from 5 to 57 °C: the first is the warmer one"):
        cooling().time_between(5, 57)


@pytest.mark.parametrize("liquid", [False, True])
def test_air_as_warm_as_the_target_is_an_answer_and_no_error(liquid: bool) -> None:
    warm = cooling(air=5, stirred=liquid)
    assert warm.time_to() == Never(target=5, air=5)
    assert warm.time_between(57, 5) == Never(5, 5)
    assert isinstance(warm.time_to(6), float)
    assert thickest(warm, FDA) is None
    assert not verdicts(warm, FDA)[1].met
    assert warm.cautions() == ("an estimate: measure with a probe; your local code decides",)


def test_a_fridge_in_fahrenheit_is_suspected() -> None:
    said = str(cooling(air=38).time_to())
    assert said == (
        "never gets to 5 °C in air at 38 °C: the air must be colder than the target "
        "(maybe 38 °F was meant: 3 °C)"
    )
    assert "meant" not in str(cooling(air=60).time_to())


def test_what_is_cold_already_takes_no_time() -> None:
    assert cooling(start=20).time_to(21) == 0
    assert cooling(start=20).time_between(57, 21) == 0
    assert cooling(start=20, air=25).time_to(21) == 0


def test_ways_to_cool_are_defaults_that_say_so() -> None:
    assert set(methods()) == {"walk-in", "walk-in-fan", "blast-chiller", "ice-bath"}
    for method in methods().values():
        assert method.evidence == "common practice, no source"
        assert method.note == "a default: measure your own"
        cooling(air=method.air, film=method.film)


def test_a_pot_of_soup_belongs_into_the_ice_bath() -> None:
    # A pot 300 mm across from 90 °C, by the defaults: FDA Food Code 3-501.14(A) is met in
    # stirred ice water and not on the shelf of the walk-in, fan or no fan.
    met = {
        name: all(one.met for one in verdicts(
            cooling(shape="cylinder", across=300, air=at.air, film=at.film, stirred=True), FDA))
        for name, at in methods().items()
    }  # fmt: skip
    assert met == {"walk-in": False, "walk-in-fan": False, "blast-chiller": True, "ice-bath": True}

"""A block taken from the freezer while its middle is still soft."""

from __future__ import annotations

import pytest

from scheduler.heat.freezing import ICE, heat_to_freeze, plank

BEEF = {"film": 17.0, "conductivity": 1.038, "density": 1057.0, "heat": 0.75 * ICE}


def test_slabs_of_meat_in_an_air_blast() -> None:
    # Geankoplis, Transport Processes and Unit Operations, example on freezing of meat
    # (from memory): 0.0635 m, air 244.3 K, freezing 270.4 K, 75 % moisture: 2.395e4 s.
    seconds = plank("slab", 0.0635, freezing=270.4 - 273.15, air=244.3 - 273.15, **BEEF)
    assert seconds == pytest.approx(2.395e4, rel=1e-3)
    assert seconds / 3600 == pytest.approx(6.65, abs=5e-3)


def test_a_ball_in_a_blast_freezer() -> None:
    # Singh and Heldman, Introduction to Food Engineering, example on Plank's equation
    # (from memory): 7 cm: 2.6e3 s, 0.72 h.
    seconds = plank(
        "sphere", 0.07, film=50, conductivity=1.2, density=1000, heat=250_000,
        freezing=-1.25, air=-40,
    )  # fmt: skip
    assert seconds == pytest.approx(2603, rel=1e-3)
    assert seconds / 3600 == pytest.approx(0.72, abs=5e-3)


def test_cooling_before_and_after_makes_it_a_quarter_longer() -> None:
    # Earle, Unit Operations in Food Processing, freezing: 256 + 39 + 28 = 323 kJ/kg, so
    # the time is multiplied by 1.26. The book rounds 26.7 up to 28: hence 1 %.
    heat = heat_to_freeze(256_000, start=10, freezing=-2, end=-18, unfrozen=3220, frozen=1670)
    assert heat == pytest.approx(323_000, rel=0.01)
    plain, whole = (
        plank("slab", 0.1, freezing=-2, air=-30, **(BEEF | {"heat": one}))
        for one in (256_000, heat)
    )
    assert whole / plain == pytest.approx(1.26, rel=0.01)


def test_factors_of_the_shapes() -> None:
    # Encyclopaedia of Food Sciences and Nutrition, Plank's equation: P 1/2, 1/4, 1/6 and
    # R 1/8, 1/16, 1/24. Huge conductivity leaves P alone, a huge film leaves R.
    for shape, p, r in (("slab", 1 / 2, 1 / 8), ("cylinder", 1 / 4, 1 / 16),
                        ("sphere", 1 / 6, 1 / 24)):  # fmt: skip
        by_film = plank(shape, 1, film=1, conductivity=1e12, density=1, heat=1, freezing=0, air=-1)
        inside = plank(shape, 1, film=1e12, conductivity=1, density=1, heat=1, freezing=0, air=-1)
        assert (by_film, inside) == pytest.approx((p, r))


def test_a_block_frozen_from_one_face_takes_as_long_as_one_twice_as_thick() -> None:
    one = plank("slab", 0.03, freezing=-1, air=-20, faces="one", **BEEF)
    assert one == plank("slab", 0.06, freezing=-1, air=-20, **BEEF)


def test_air_that_does_not_freeze_it_and_nothing_to_freeze_are_refused() -> None:
    with pytest.raises(ValueError) as said:
        plank("slab", 0, freezing=-1, air=-1, **(BEEF | {"film": 0}))
    assert str(said.value).split("\n") == [
        "air -1 °C: it must be colder than the freezing point, -1 °C",
        "thickness or diameter 0 m: more than nothing was expected",
        "film coefficient 0 W/m²K: above 0 was expected",
    ]

"""Problems of the textbooks with their printed answers: the same pot, the same minute."""

from __future__ import annotations

from math import cos, exp, inf, pi, sin

import pytest

from scheduler.heat.composition import Properties
from scheduler.heat.conduction import (
    biot,
    coefficient,
    eigenvalue,
    fourier,
    remaining,
    seconds_to,
    temperature,
)
from scheduler.heat.crossing import crossing
from scheduler.heat.lumped import MOST_BIOT, time_constant, time_to
from scheduler.heat.lumped import temperature as lump
from scheduler.heat.shapes import Shape, depth, volume_to_area


def of(conductivity: float, diffusivity: float) -> Properties:
    """Where a book gives only these two, any density does."""
    return Properties(1000, conductivity / diffusivity / 1000, conductivity)


def test_steaks_in_chill_air() -> None:
    # Çengel, Heat and Mass Transfer, problem "chilling of steaks": printed Bi 0.200,
    # Fo 5.085, 5590 s until the surface is at 2 °C (read back from its equation).
    food = of(0.45, 0.91e-7)
    assert biot(9, 0.01, 0.45) == pytest.approx(0.200)
    fo = fourier("slab", 0.2, 13 / 36, "face")
    assert fo == pytest.approx(5.085, rel=1e-3)
    seconds = seconds_to("slab", 0.01, 9, food, start=25, target=2, air=-11, place="face")
    assert seconds == pytest.approx(5590, rel=1e-3)
    # The middle is not there yet: whoever probes the outside stops a few minutes early.
    middle = seconds_to("slab", 0.01, 9, food, start=25, target=2, air=-11)
    assert middle - seconds > 6 * 60


def test_an_apple_in_the_freezer_for_an_hour() -> None:
    # Çengel, problem "apple in a freezer" (air -15 °C): printed Bi 0.861, λ 1.476, A 1.239,
    # Fo 0.231, middle 11.2 °C, surface 2.7 °C, heat 17.2 kJ, by one term.
    bi = biot(8, 0.045, 0.418)
    one, by = eigenvalue("sphere", bi, 1), coefficient("sphere", bi, 1)
    # The book reads λ between two rows of its table: 1.476 where it is 1.477.
    assert (bi, one, by) == pytest.approx((0.861, 1.476, 1.239), abs=1.5e-3)
    left = by * exp(-(one**2) * 0.231)
    assert -15 + 35 * left == pytest.approx(11.2, abs=0.05)
    assert -15 + 35 * left * sin(one) / one == pytest.approx(2.7, abs=0.05)
    mean = left * 3 * (sin(one) - one * cos(one)) / one**3
    mass = 840 * 4 / 3 * pi * 0.045**3
    assert mass * 3.81 * 35 * (1 - mean) == pytest.approx(17.2, rel=2e-3)
    # All terms, computed: 11.11 °C in the middle; the single one is 0.08 K too warm.
    here = {"start": 20, "seconds": 3600, "air": -15}
    middle = temperature("sphere", 0.045, 8, of(0.418, 1.3e-7), **here)
    outside = temperature("sphere", 0.045, 8, of(0.418, 1.3e-7), **here, place="face")
    assert (middle, outside) == pytest.approx((11.11, 2.65), abs=0.03)
    assert (middle, outside) == pytest.approx((11.2, 2.7), abs=0.1)


def test_an_egg_in_boiling_water() -> None:
    # Çengel, problem "boiling an egg" (inputs); answer computed by one term: Fo 0.2135,
    # 18.43 min. All terms come to the same within 0.2 %.
    bi = biot(800, 0.0275, 0.607)
    assert bi == pytest.approx(36.24, abs=5e-3)
    assert eigenvalue("sphere", bi, 1) == pytest.approx(3.0551, abs=1e-4)
    assert coefficient("sphere", bi, 1) == pytest.approx(1.9929, abs=1e-4)
    fo = fourier("sphere", bi, (74 - 100) / (4.3 - 100))
    assert fo == pytest.approx(0.2135, rel=2e-3)
    assert fo * 0.0275**2 / 0.146e-6 / 60 == pytest.approx(18.43, rel=2e-3)


def test_biot_is_of_the_radius_and_not_of_volume_over_area() -> None:
    # A printed solution of the egg from 8 to 60 °C takes Bi of volume over area and says
    # 16.4 min; with the radius it is 14.1 min (computed by one term, Fo 0.163).
    reach = depth("sphere", 0.055)
    right, wrong = biot(800, reach, 0.607), biot(800, volume_to_area("sphere", reach), 0.607)
    minutes = [
        fourier("sphere", bi, (60 - 100) / (8 - 100)) * reach**2 / 0.146e-6 / 60
        for bi in (right, wrong)
    ]
    assert minutes[0] == pytest.approx(14.1, rel=0.01)
    assert minutes[1] > minutes[0] + 1


def test_an_apple_in_cold_water() -> None:
    # Singh and Heldman, Introduction to Food Engineering, example 4.26 (inputs; the book
    # reads a chart); answer computed: Bi 4.2254, Fo 0.5048, 3778 s.
    food = Properties(820, 3600, 0.355)
    assert biot(50, 0.03, 0.355) == pytest.approx(4.2254, abs=1e-4)
    seconds = seconds_to("sphere", 0.03, 50, food, start=15, target=3, air=2)
    assert seconds == pytest.approx(3778, rel=1e-3)
    assert food.diffusivity * seconds / 0.03**2 == pytest.approx(0.5048, rel=1e-3)
    assert seconds_to("sphere", 0.03, 50, food, start=15, target=2, air=2) == inf


def test_a_thermocouple_is_a_lump() -> None:
    # Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.1: τ 1 s asks
    # for a diameter of 7.06e-4 m; 25 to 199 °C in gas at 200 °C takes 5.2 s.
    metal = Properties(8500, 400, 20)
    across = crossing(
        lambda d: time_constant(metal, volume_to_area("sphere", d / 2), 400) - 1, 0, 1
    )
    assert across == pytest.approx(7.06e-4, rel=1e-3)
    # Being warmed is the same law seen from below: what is left of the difference.
    assert time_to(1, start=175, target=1, air=0) == pytest.approx(5.16, abs=5e-3)
    assert biot(400, volume_to_area("sphere", across / 2), 20) == pytest.approx(0.00235, abs=1e-5)
    assert biot(400, volume_to_area("sphere", across / 2), 20) <= MOST_BIOT


@pytest.mark.parametrize("shape", ["slab", "cylinder", "sphere"])
def test_a_solid_that_hardly_resists_cools_as_a_lump(shape: Shape) -> None:
    # Çengel, chapter 4: the lump is good for Bi = h (V/A) / k <= 0.1. How good, computed:
    # the middle is warmer by less than 8 % of the first difference; at Bi 1 by far more.
    food, reach = Properties(1000, 4000, 0.5), 0.01
    ratio = volume_to_area(shape, reach)

    def apart(bi: float) -> float:
        film = bi * food.conductivity / ratio
        tau = time_constant(food, ratio, film)
        return max(
            temperature(shape, reach, film, food, start=1, seconds=share * tau, air=0)
            - lump(tau, start=1, after=share * tau, air=0)
            for share in (0.1, 0.3, 1, 2, 4)
        )

    assert apart(MOST_BIOT / 10) < 0.01
    assert apart(MOST_BIOT) < 0.08
    assert apart(1) > 0.1


def test_a_brick_of_ham_is_three_slabs_multiplied() -> None:
    # Inputs from memory (ASHRAE Refrigeration, cooling of a brick of ham); answer computed
    # as the product of three slabs: 23787 s. A check on the series, not on the handbook.
    food = Properties(1080, 3750, 0.379)
    sides = [depth("slab", side) for side in (0.102, 0.165, 0.279)]
    assert biot(48, sides[0], 0.379) == pytest.approx(6.46, abs=5e-3)

    def at(seconds: float) -> float:
        product = 1.0
        for reach in sides:
            fo = food.diffusivity * seconds / reach**2
            product *= remaining("slab", biot(48, reach, 0.379), fo)
        return product

    seconds = crossing(lambda t: (10 + 1) / (70 + 1) - at(t), 0, 1e6)
    assert seconds == pytest.approx(23787, rel=1e-3)
    # As a single slab it would take longer: an estimate by thickness alone is on the safe side.
    assert seconds_to("slab", sides[0], 48, food, start=70, target=10, air=-1) > seconds


def test_volume_over_area_is_that_of_real_bodies() -> None:
    radius = 0.1
    sphere = (4 / 3 * pi * radius**3) / (4 * pi * radius**2)
    assert volume_to_area("sphere", radius) == pytest.approx(sphere)
    assert volume_to_area("cylinder", radius) == pytest.approx(pi * radius**2 / (2 * pi * radius))
    assert volume_to_area("slab", depth("slab", 0.05, "one")) == pytest.approx(0.05)
    assert volume_to_area("slab", depth("slab", 0.05, "both")) == pytest.approx(0.025)

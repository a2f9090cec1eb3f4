"""A layer that is said to be cold in ninety minutes, or in time for the code, and is not."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.heat.conduction import biot, fourier, remaining, seconds_to, temperature
from scheduler.heat.cooling import CAUTION, Cooling, Never, verdicts
from scheduler.heat.shapes import DIMENSIONS, Shape
from tests.heat.limits import FDA, PLAIN, layer

SHAPES = sorted(DIMENSIONS)
AT_ONCE = math.inf  # the face as cold as the air at once

shapes: st.SearchStrategy[Shape] = st.sampled_from(SHAPES)


@pytest.mark.parametrize(("air", "film"), [(-5, 221), (-10, 101), (-20, 52), (-30, 37)])
def test_fifty_millimetres_in_ninety_minutes_ask_for_a_strong_blast(
    air: float, film: float
) -> None:
    # 70 to 3 °C in 90 min in a 50 mm layer: UK cook-chill guidelines (Department of Health,
    # 1989), second hand. Films computed (k 0.55, diffusivity 1.4e-7), to whole W/m²K.
    def minutes(h: float) -> float:
        return seconds_to("slab", 0.025, h, PLAIN, start=70, target=3, air=air) / 60

    assert minutes(film + 0.5) < 90 < minutes(film - 0.5)


def test_no_blast_meets_the_norm_in_air_at_three_degrees() -> None:
    assert seconds_to("slab", 0.025, AT_ONCE, PLAIN, start=70, target=3, air=3) == math.inf


@pytest.mark.parametrize(("air", "bottom"), [(-5, 40.3), (-10, 38.3), (-20, 34.3)])
def test_a_tray_cooled_from_above_alone_cannot_meet_the_norm(air: float, bottom: float) -> None:
    # Computed: even with the face at once as cold as the air, the bottom after 90 min.
    # Those figures are of one term; all of them together are up to 0.06 K less.
    found = temperature("slab", 0.05, AT_ONCE, PLAIN, start=70, seconds=5400, air=air)
    assert found == pytest.approx(bottom, abs=0.06)
    tray = Cooling(PLAIN, "slab", 50, 70, 3, air, 1e6, faces="one")
    time = tray.time_to()
    assert not isinstance(time, Never)
    assert time > 2 * 90


@pytest.mark.parametrize(
    ("across", "film", "to_21", "to_5", "passes"),
    [
        (25, 8, 2.04, 6.02, False),  # just fails
        (25, 20, 0.92, 2.65, True),
        (25, 60, 0.42, 1.16, True),
        (50, 8, 4.41, 12.83, False),
        (50, 20, 2.17, 6.12, False),
        (50, 60, 1.17, 3.17, True),
        (100, 60, 3.69, 9.83, False),  # deep pans must be split, even for a blast
    ],
)
def test_which_layers_a_fridge_at_three_degrees_cools_in_time(
    across: float, film: float, to_21: float, to_5: float, passes: bool
) -> None:
    # Computed (k 0.55, diffusivity 1.4e-7, air 3 °C, from 57 °C); FDA Food Code 3-501.14(A).
    first, second = verdicts(layer(across, film), FDA)
    assert first.minutes == pytest.approx(60 * to_21, abs=0.31)
    assert second.minutes == pytest.approx(60 * to_5, abs=0.31)
    assert (first.met and second.met) == passes


@pytest.mark.parametrize("liquid", [False, True])
def test_a_tray_on_a_bench_cools_as_one_twice_as_deep_on_a_grid(liquid: bool) -> None:
    # By symmetry: the back of a layer cooled from one face is the middle of two of them.
    bench = Cooling(PLAIN, "slab", 30, 80, 5, 2, 15, faces="one", stirred=liquid)
    grid = Cooling(PLAIN, "slab", 60, 80, 5, 2, 15, stirred=liquid)
    assert bench.curve([0, 10, 100]) == grid.curve([0, 10, 100])
    assert bench.curve([0])[0] == pytest.approx(80)


@given(shapes, st.floats(0.01, 500), st.floats(0.001, 0.2), st.floats(0.02, 0.98))
def test_at_the_same_biot_time_goes_with_the_square_of_the_thickness(
    shape: Shape, bi: float, reach: float, theta: float
) -> None:
    def seconds(size: float) -> float:
        film = bi * PLAIN.conductivity / size
        return seconds_to(shape, size, film, PLAIN, start=theta + 1, target=2 * theta, air=theta)

    assert seconds(2 * reach) == pytest.approx(4 * seconds(reach), rel=1e-6)


@given(shapes, st.floats(0.02, 0.9))
def test_what_hardly_resists_takes_twice_as_long_when_twice_as_thick(
    shape: Shape, theta: float
) -> None:
    def seconds(size: float) -> float:
        return seconds_to(shape, size, 0.001, PLAIN, start=1, target=theta, air=0)

    assert seconds(0.02) == pytest.approx(2 * seconds(0.01), rel=1e-3)


@settings(max_examples=40)
@given(shapes, st.floats(1e-8, 1e4), st.floats(0, 3), st.floats(1e-6, 1))
def test_nothing_that_stands_in_the_cold_gets_warmer(
    shape: Shape, bi: float, fo: float, more: float
) -> None:
    for place in ("warmest", "face"):
        early, late = (remaining(shape, bi, at, place) for at in (fo, fo + more))
        assert -1e-9 <= late <= early + 1e-9 <= 1 + 2e-9
    assert remaining(shape, bi, fo, "face") <= remaining(shape, bi, fo) + 1e-9


@given(shapes, st.floats(0.05, 200), st.floats(0.01, 0.97))
def test_the_time_to_a_temperature_is_where_the_curve_has_it(
    shape: Shape, bi: float, theta: float
) -> None:
    assert remaining(shape, bi, fourier(shape, bi, theta)) == pytest.approx(theta, abs=1e-9)


@given(shapes, st.floats(1, 300), st.floats(1, 300))
def test_colder_air_and_more_of_it_never_take_longer(
    shape: Shape, film: float, across: float
) -> None:
    times = [
        Cooling(PLAIN, shape, across, 80, 5, air, h).time_to()
        for air, h in ((3, film), (3, film * 1.5), (-10, film * 1.5))
    ]
    assert times == sorted(times, key=float, reverse=True)  # type: ignore[arg-type]


@pytest.mark.parametrize("shape", SHAPES)
def test_the_curve_has_no_step_where_one_term_would_do(shape: Shape) -> None:
    just = [remaining(shape, 10, fo) for fo in (0.1999999, 0.2, 0.2000001)]
    assert just[0] - just[2] < 1e-5
    first = [remaining(shape, 10, fo) for fo in (0.0059, 0.0061)]
    assert first == pytest.approx([1, 1], abs=1e-12)


def test_the_face_of_a_thick_slab_cools_as_that_of_a_half_space_at_first() -> None:
    # Incropera and DeWitt, ch. 5, semi-infinite solid with convection at its face:
    # θ = exp(Bi² Fo) erfc(Bi √Fo).
    for fo in (1e-3, 0.003, 0.01):
        half_space = math.exp(100 * fo) * math.erfc(10 * math.sqrt(fo))
        assert remaining("slab", 10, fo, "face") == pytest.approx(half_space, abs=1e-9)


def test_what_freezes_outside_says_so_and_how_long_it_may_take() -> None:
    blast = layer(50, 60, air=-10)
    said = blast.cautions()
    slower = layer(50, 60, air=0).time_to()
    assert not isinstance(slower, Never)
    assert said[0] == CAUTION
    assert said[1].startswith("the outside freezes")
    assert said[1].endswith(f"up to {slower:.0f} min")
    assert layer(50, 60).cautions() == (CAUTION,)
    assert biot(60, 0.025, 0.55) == pytest.approx(blast.biot)

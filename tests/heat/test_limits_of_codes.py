"""A stirred pot that one code passes and another throws away, told apart to the minute."""

from __future__ import annotations

from collections.abc import Sequence
from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.heat import lumped
from scheduler.heat.cooling import Cooling, Never, Window, thickest, verdicts
from scheduler.heat.crossing import crossing
from scheduler.heat.shapes import volume_to_area
from scheduler.heat.temperatures import from_fahrenheit
from tests.heat.limits import FDA, FSANZ, FSIS, WATERY, layer, stirred


def slowest(window: Window, air: float) -> float:
    """The largest time constant in hours with which a stirred pot meets this limit."""
    return window.minutes / 60 / lumped.time_to(1, start=window.warm, target=window.cold, air=air)


def where_both_bind(first: Window, second: Window, below: float) -> float:
    """The air at which two limits ask for the same; colder, the first asks for more."""
    return crossing(lambda air: slowest(first, air) - slowest(second, air), -5, below)


def met(cooling: Cooling, windows: Sequence[Window]) -> list[bool]:
    return [verdict.met for verdict in verdicts(cooling, windows)]


def test_at_three_degrees_both_limits_of_the_food_code_bind_at_once() -> None:
    # FDA Food Code 3-501.14(A); Newton's law: (57-3)/(21-3) = 3, (57-3)/(5-3) = 27 = 3³.
    tau = 2 / log(3)
    assert tau == pytest.approx(1.82048, abs=5e-6)
    pot = stirred(tau, air=3, start=57)
    assert pot.time_to(21) == pytest.approx(120, rel=1e-12)
    assert pot.time_to(5) == pytest.approx(360, rel=1e-12)
    assert met(stirred(tau * 0.9999, air=3), FDA) == [True, True]
    assert met(stirred(tau * 1.0001, air=3), FDA) == [False, False]


def test_the_curve_of_that_pot() -> None:
    # Computed from the same law: exact powers of 3.
    hours = [0, 0.5, 1, 2, 3, 4, 6]
    expected = [57, 44.031, 34.177, 21, 13.392, 9, 5]
    found = stirred(2 / log(3), air=3, start=57).curve(60 * hour for hour in hours)
    assert found == pytest.approx(expected, abs=5e-4)


@pytest.mark.parametrize(
    ("air", "tau", "binds"),
    [(0, 2.003, "2 h"), (2, 1.882, "2 h"), (3, 1.820, "both"), (4, 1.511, "6 h"),
     (4.5, 1.289, "6 h")],
)  # fmt: skip
def test_which_limit_binds_follows_from_the_air(air: float, tau: float, binds: str) -> None:
    # FDA Food Code 3-501.14(A); figures computed from Newton's law.
    by_two, by_six = (slowest(window, air) for window in FDA)
    assert min(by_two, by_six) == pytest.approx(tau, abs=5e-4)
    if binds == "both":
        assert by_two == pytest.approx(by_six)
    else:
        assert (by_two < by_six) == (binds == "2 h")
    # A pot a hundredth slower breaks exactly the limit that binds.
    broken = {"2 h": [False, True], "6 h": [True, False], "both": [False, False]}[binds]
    assert met(stirred(min(by_two, by_six) * 1.01, air=air, target=5), FDA) == broken


@pytest.mark.parametrize("air", [5, 5.5, 7])
def test_no_pot_gets_to_five_degrees_in_air_that_warm(air: float) -> None:
    pot = stirred(0.01, air=air)
    first, second = verdicts(pot, FDA)
    assert first.met
    assert not second.met
    assert second.minutes == Never(5, air)
    assert str(second.minutes).startswith(f"never gets to 5 °C in air at {air:g} °C: ")
    assert thickest(pot, FDA) is None


def test_fahrenheit_and_celsius_of_one_code_do_not_cross_at_the_same_air() -> None:
    # FDA Food Code 3-501.14(A) in °F (135, 70, 41) against °C (57, 21, 5); computed.
    crossed = where_both_bind(*FDA, below=4.9)
    fahrenheit = [from_fahrenheit(one) for one in (135, 70, 41)]
    warm, middle, cold = fahrenheit
    in_fahrenheit = (Window(warm, middle, 120), Window(warm, cold, 360))
    other = where_both_bind(*in_fahrenheit, below=4.9)
    assert crossed == pytest.approx(3, abs=1e-9)
    assert other == pytest.approx(2.972, abs=5e-4)
    assert other * 1.8 + 32 == pytest.approx(37.350, abs=5e-4)
    # In air between the two, one pot breaks the other limit, depending on the thermometer.
    air = 2.986
    pot = stirred((slowest(in_fahrenheit[0], air) + slowest(in_fahrenheit[1], air)) / 2, air=air)
    assert met(pot, FDA) == [False, True]
    assert met(pot, in_fahrenheit) == [True, False]


@pytest.mark.parametrize(
    ("windows", "below", "air"), [(FSANZ, 4.9, 3.268), (FSIS, 4.3, 2.497)], ids=["FSANZ", "FSIS"]
)
def test_other_codes_cross_elsewhere(
    windows: tuple[Window, Window], below: float, air: float
) -> None:
    # FSANZ Standard 3.2.2 clause 7(3); FSIS-GD-2021-13 option 1. Computed from Newton's law.
    assert where_both_bind(*windows, below=below) == pytest.approx(air, abs=5e-4)


def test_one_pot_passes_one_code_and_fails_another() -> None:
    # Air 4 °C, τ 1.45 h: total 6 h are kept, the further 4 h and the 5 h to 4.4 °C are not.
    slow_end = stirred(1.45, air=4, target=4.4)
    assert met(slow_end, FDA) == [True, True]
    assert met(slow_end, FSANZ) == [True, False]
    assert met(slow_end, FSIS) == [True, False]
    # Air 0 °C, τ 2.05 h: only FSIS, whose first limit begins lower, lets it pass.
    slow_begin = stirred(2.05, air=0)
    assert met(slow_begin, FDA) == [False, True]
    assert met(slow_begin, FSANZ) == [False, True]
    assert met(slow_begin, FSIS) == [True, True]


def test_limits_on_one_clock_give_the_second_what_the_first_has_saved() -> None:
    # The same figures, 57 to 21 °C in 2 h and 21 to 5 °C: on one clock 6 h from 57 °C.
    windows = (Window(57, 21, 120), Window(21, 5, 360))
    pot = stirred(1.6, air=4, target=5)
    apart, one = verdicts(pot, windows), verdicts(pot, windows, one_clock=True)
    assert apart[0] == one[0]
    assert apart[1].met  # 4.5 h from 21 °C …
    assert not one[1].met  # … but 6.4 h from 57 °C
    assert one[1].minutes == pytest.approx(60 * 1.6 * log(53 / 1))


def test_the_clock_of_a_limit_starts_when_the_food_passes_its_temperature() -> None:
    pot = stirred(1.5, air=3)
    hot, late = pot.time_between(57, 5), pot.time_to(5)
    assert not isinstance(hot, Never)
    assert not isinstance(late, Never)
    assert late - hot == pytest.approx(60 * 1.5 * log(87 / 54))
    # What begins colder than the limit begins on its clock at once.
    assert stirred(1.5, air=3, start=40).time_between(57, 5) == pytest.approx(90 * log(37 / 2))


def test_the_deepest_stirred_pan_follows_from_the_time_constant() -> None:
    # τ = ρ cp (V/A)/h at the binding 1.8205 h: depth 2 × τ h / (ρ cp) = 32.77 mm at h 10.
    pan = Cooling(WATERY, "slab", 10, 90, 5, 3, 10, stirred=True)
    assert 2 * 3600 * (2 / log(3)) * 10 / 4e6 == pytest.approx(0.03277, abs=5e-6)
    assert thickest(pan, FDA) == 32


@pytest.mark.parametrize(("shape", "share"), [("slab", 1), ("cylinder", 2), ("sphere", 3)])
def test_volume_over_area_of_the_shapes(shape: str, share: int) -> None:
    # Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5: L, r/2, r/3.
    assert volume_to_area(shape, 0.06) == pytest.approx(0.06 / share)  # type: ignore[arg-type]


@given(st.floats(1, 500), st.floats(1, 400), st.floats(-30, 4), st.booleans())
def test_a_thicker_layer_never_cools_faster(
    across: float, film: float, air: float, liquid: bool
) -> None:
    thin = layer(across, film, air=air)
    thin = Cooling(thin.food, "slab", across, 90, 5, air, film, stirred=liquid)
    thick = Cooling(thin.food, "slab", across * 1.1, 90, 5, air, film, stirred=liquid)
    for window in (*FDA, *FSANZ):
        less = thin.time_between(window.warm, window.cold)
        more = thick.time_between(window.warm, window.cold)
        assert not isinstance(less, Never)
        assert not isinstance(more, Never)
        assert less <= more * (1 + 1e-9)


@pytest.mark.parametrize("windows", [FDA, FSANZ, FSIS], ids=["FDA", "FSANZ", "FSIS"])
@pytest.mark.parametrize("film", [8, 20, 60])
def test_the_largest_thickness_passes_and_a_millimetre_more_fails(
    windows: tuple[Window, ...], film: float
) -> None:
    one = layer(10, film, start=90)
    most = thickest(one, windows)
    assert most is not None
    assert all(met(layer(most, film, start=90), windows))
    assert not all(met(layer(most + 1, film, start=90), windows))

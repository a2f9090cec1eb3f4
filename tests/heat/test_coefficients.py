"""A root off by a digit makes every cooling time of a shape wrong, and nobody would see it."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, inf, log, pi, sin, tan

import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from scheduler.heat import bessel
from scheduler.heat.conduction import coefficient, eigenvalue, remaining
from scheduler.heat.shapes import Shape
from tests.heat.table_4_2 import COMPUTED, PRINTED, rows

COLUMN: dict[Shape, int] = {"slab": 1, "cylinder": 3, "sphere": 5}
ALL = rows(PRINTED) + rows(COMPUTED)

# Equations of the shapes, without poles: Çengel, Heat and Mass Transfer, Table 4-1.
EQUATION: dict[Shape, Callable[[float, float], float]] = {
    "slab": lambda x, bi: x * sin(x) - bi * cos(x),
    "cylinder": lambda x, bi: x * float(j1(x)) - bi * float(j0(x)),
    "sphere": lambda x, bi: (1 - bi) * sin(x) - x * cos(x),
}


def between(shape: Shape, n: int) -> tuple[float, float]:
    """Where the n-th root lies, by the zeros of what scipy knows."""
    if shape == "cylinder":
        ends = [0.0, *jn_zeros(1, n)]
        return float(ends[n - 1]) + 1e-9, float(jn_zeros(0, n)[-1])
    return (n - 1) * pi + 1e-9, (n - 0.5) * pi if shape == "slab" else n * pi - 1e-9


@pytest.mark.parametrize("shape", COLUMN)
@pytest.mark.parametrize("row", ALL, ids=[f"Bi {row[0]:g}" for row in ALL])
def test_roots_and_coefficients_are_those_of_the_printed_table(
    shape: Shape, row: tuple[float, ...]
) -> None:
    bi, at = row[0], COLUMN[shape]
    assert eigenvalue(shape, bi, 1) == pytest.approx(row[at], abs=1e-4)
    assert coefficient(shape, bi, 1) == pytest.approx(row[at + 1], abs=1e-4)


@pytest.mark.parametrize("shape", COLUMN)
@pytest.mark.parametrize("bi", [0.001, *(row[0] for row in ALL if row[0] < inf), 1000])
def test_roots_are_those_that_another_solver_finds(shape: Shape, bi: float) -> None:
    for n in (1, 2, 3, 8):
        low, high = between(shape, n)
        theirs = brentq(EQUATION[shape], low, high, args=(bi,), xtol=1e-13)
        assert eigenvalue(shape, bi, n) == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize("x", [0.0, 1e-6, 0.5, 2.4, 3.8, 10.0, 37.5, 200.0, 551.3])
def test_bessel_functions_are_exact_to_the_last_digits(x: float) -> None:
    assert bessel.j0(x) == pytest.approx(float(j0(x)), abs=2e-14)
    assert bessel.j1(x) == pytest.approx(float(j1(x)), abs=2e-14)


def test_zeros_of_the_bessel_functions_are_those_of_the_tables() -> None:
    # Abramowitz and Stegun, Handbook of Mathematical Functions, Table 9.5.
    assert [bessel.zero(0, n) for n in (1, 2, 3)] == pytest.approx(
        [2.4048255577, 5.5200781103, 8.6537279129], abs=1e-10
    )
    assert [bessel.zero(1, n) for n in (1, 2, 3)] == pytest.approx(
        [3.8317059702, 7.0155866698, 10.1734681351], abs=1e-10
    )
    for order in (0, 1):
        ours = [bessel.zero(order, n) for n in range(1, 41)]
        assert ours == pytest.approx(list(jn_zeros(order, 40)), abs=1e-10)


def lacroix(shape: Shape, bi: float) -> float:
    """The first root by the closed form."""
    factors = {
        "slab": (0.860972, 0.312133, 0.007986, -0.016192, -0.001190, 0.000581),
        "cylinder": (1.257493, 0.487941, 0.025322, -0.026568, -0.002888, 0.001078),
    }[shape]
    return sum(one * log(bi) ** power for power, one in enumerate(factors))


@pytest.mark.parametrize("shape", ["slab", "cylinder"])
@pytest.mark.parametrize("bi", [0.11, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100])
def test_the_closed_form_of_the_trade_agrees(shape: Shape, bi: float) -> None:
    # Lacroix and Castaigne (1987), in ASHRAE Refrigeration, "Cooling and Freezing Times of
    # Foods", Tables 1 and 2; a fit, for 0.1 < Bi <= 100. As transcribed it is within 0.5 %
    # up to Bi 10 and at 100, and up to 3.5 % low in between.
    within = 0.04 if 10 < bi < 100 else 0.005
    assert lacroix(shape, bi) == pytest.approx(eigenvalue(shape, bi, 1), rel=within)


def test_the_closed_form_for_a_face_as_cold_as_the_air_agrees() -> None:
    # The same, Bi > 100: j 1.273 and f α/L² 0.9332 (slab), 1.6015 and 0.3982 (cylinder).
    for shape, j, f in (("slab", 1.273, 0.9332), ("cylinder", 1.6015, 0.3982)):
        assert coefficient(shape, inf, 1) == pytest.approx(j, rel=1e-3)
        assert log(10) / eigenvalue(shape, inf, 1) ** 2 == pytest.approx(f, rel=1e-3)


@pytest.mark.parametrize("shape", COLUMN)
@pytest.mark.parametrize("bi", [1e-9, 0.999e-6, 1.001e-6, 1e-4])
def test_what_hardly_resists_joins_the_lump_without_a_step(shape: Shape, bi: float) -> None:
    share = {"slab": 1, "cylinder": 2, "sphere": 3}[shape]
    assert eigenvalue(shape, bi, 1) ** 2 == pytest.approx(share * bi, rel=1e-4)
    assert coefficient(shape, bi, 1) == pytest.approx(1, abs=1e-4)


def test_all_terms_together_begin_at_the_start_temperature() -> None:
    # tan checks the slab's own equation once more, in the form that is printed.
    assert eigenvalue("slab", 2, 1) * tan(eigenvalue("slab", 2, 1)) == pytest.approx(2)
    for shape in COLUMN:
        assert remaining(shape, 2, 0.0061) == pytest.approx(1, abs=1e-9)

"""A solid that starts warm all through and stands in the cold: heat moves only by conduction.

θ = (T - air) / (start - air) = Σ C exp(-λ² Fo) φ over the roots λ of an
equation of each shape, with Bi = h L / k, Fo = α t / L² and L from the place
that stays warm longest to the cooled face (`shapes.depth`). As many terms as
count are summed: above Fo = 0.2 the first is nearly all there is, but leaving
the others out there would put a step into the curve.

Source: Çengel, *Heat and Mass Transfer*, chapter 4 (transient conduction in
large plane walls, long cylinders and spheres), equations of Table 4-1.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, exp, inf, pi, sin, sqrt
from typing import Literal

from scheduler.heat.bessel import j0, j1, zero
from scheduler.heat.composition import Properties
from scheduler.heat.crossing import crossing
from scheduler.heat.shapes import DIMENSIONS, Shape

Place = Literal["warmest", "face"]
"""The middle (or the back that is not cooled), or the cooled face."""

_SMALL_BIOT = 1e-6  # below it λ² = d Bi and C = 1, to as many digits
_LEAST = 1e-12  # a term below it does not count
_SOON: dict[Place, float] = {"warmest": 0.006, "face": 1e-3}


def biot(film: float, reach: float, conductivity: float) -> float:
    """How much the food itself resists beside the film of air or water around it.

    Parameters
    ----------
    film : float
        W/m²K.
    reach : float
        m, of `shapes.depth`: with these series never volume over area.
    """
    return film * reach / conductivity


@lru_cache(maxsize=4096)
def eigenvalue(shape: Shape, bi: float, n: int) -> float:
    """The n-th root, from 1; `bi` may be infinite (the face at once as cold as the air).

    Slab λ tan λ = Bi, cylinder λ J1(λ) = Bi J0(λ), sphere 1 - λ cot λ = Bi.
    """
    if n == 1 and bi < _SMALL_BIOT:
        return sqrt(DIMENSIONS[shape] * bi)
    sign = 1 if n % 2 else -1
    if shape == "slab":
        return crossing(lambda x: sign * (x * sin(x) / bi - cos(x)), (n - 1) * pi, (n - 0.5) * pi)
    if shape == "cylinder":
        return crossing(lambda x: sign * (x * j1(x) / bi - j0(x)), zero(1, n - 1), zero(0, n))
    return crossing(lambda x: sign * ((sin(x) - x * cos(x)) / bi - sin(x)), (n - 1) * pi, n * pi)


@lru_cache(maxsize=4096)
def coefficient(shape: Shape, bi: float, n: int) -> float:
    """C of the n-th term, in the middle (the A1 of printed tables for n = 1)."""
    if n == 1 and bi < _SMALL_BIOT:
        return 1.0
    x = eigenvalue(shape, bi, n)
    if shape == "slab":
        return 4 * sin(x) / (2 * x + sin(2 * x))
    if shape == "cylinder":
        return 2 * j1(x) / (x * (j0(x) ** 2 + j1(x) ** 2))
    return 4 * (sin(x) - x * cos(x)) / (2 * x - sin(2 * x))


def remaining(shape: Shape, bi: float, fo: float, place: Place = "warmest") -> float:
    """θ: the share of the difference from the air that is still there."""
    if fo <= _SOON[place]:
        if place == "warmest" or fo <= 0:
            return 1.0  # to 17 digits: the cold has not come so far
        # The first seconds at the face, roughly: there θ falls with the root of time.
        return 1 - (1 - _series(shape, bi, _SOON[place], place)) * sqrt(fo / _SOON[place])
    return _series(shape, bi, fo, place)


def fourier(shape: Shape, bi: float, theta: float, place: Place = "warmest") -> float:
    """Fo after which so much remains; infinite for θ <= 0, 0 for θ >= 1."""
    if theta >= 1:
        return 0.0
    if theta <= 0:
        return inf
    late = 1.0
    while remaining(shape, bi, late, place) > theta:
        late *= 2
    return crossing(lambda fo: theta - remaining(shape, bi, fo, place), 0.0, late)


def seconds_to(
    shape: Shape,
    reach: float,
    film: float,
    food: Properties,
    *,
    start: float,
    target: float,
    air: float,
    place: Place = "warmest",
) -> float:
    """Seconds until `place` has come from `start` to `target` (all °C); infinite for never."""
    if target >= start:
        return 0.0
    if air >= target:
        return inf
    bi = biot(film, reach, food.conductivity)
    fo = fourier(shape, bi, (target - air) / (start - air), place)
    return fo * reach**2 / food.diffusivity


def temperature(
    shape: Shape,
    reach: float,
    film: float,
    food: Properties,
    *,
    start: float,
    seconds: float,
    air: float,
    place: Place = "warmest",
) -> float:
    """°C at `place` after so many seconds."""
    bi = biot(film, reach, food.conductivity)
    fo = food.diffusivity * seconds / reach**2
    return air + (start - air) * remaining(shape, bi, fo, place)


def _series(shape: Shape, bi: float, fo: float, place: Place) -> float:
    total, n = 0.0, 1
    # Roots lie about π apart, and the n-th never before (n - 1) π.
    while exp(-(((n - 1) * pi) ** 2) * fo) > _LEAST:
        x = eigenvalue(shape, bi, n)
        shown = 1.0 if place == "warmest" else _face(shape, x)
        total += coefficient(shape, bi, n) * exp(-x * x * fo) * shown
        n += 1
    return total


def _face(shape: Shape, x: float) -> float:
    if shape == "slab":
        return cos(x)
    return j0(x) if shape == "cylinder" else sin(x) / x

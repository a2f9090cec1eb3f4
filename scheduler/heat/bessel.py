"""The two Bessel functions that a cylinder needs, from their integrals.

J0(x) is the mean of cos(x sin t) and J1(x) of cos(t - x sin t) over half a
turn. The trapezoidal rule is exact there to the last digits as soon as it has
more points than x, as the integrand is periodic and smooth.

Source: Abramowitz and Stegun, *Handbook of Mathematical Functions*, 9.1.18, 9.1.21.
"""

from __future__ import annotations

from functools import cache
from math import cos, fsum, pi, sin

from scheduler.heat.crossing import crossing


def j0(x: float) -> float:
    """J0 for x >= 0."""
    return _mean(x, 0)


def j1(x: float) -> float:
    """J1 for x >= 0."""
    return _mean(x, 1)


@cache
def zero(order: int, n: int) -> float:
    """The n-th zero of J0 or J1, from 1; n = 0 is where J1 begins.

    They lie just above (n - 1/4) π and just below (n + 1/4) π.
    """
    if n == 0:
        return 0.0
    near = (n - 0.25 + order / 2) * pi
    low, high = (near, near + 0.1) if order == 0 else (near - 0.15, near)
    # J0 falls through its first zero and rises through its second, J1 likewise.
    sign = -1 if n % 2 else 1
    return crossing(lambda x: sign * _mean(x, order), low, high)


def _mean(x: float, order: int) -> float:
    points = int(x) + 20
    ends = 0.0 if order else 1.0  # half of the first point and half of the last
    inner = fsum(cos(order * t - x * sin(t)) for t in (pi * i / points for i in range(1, points)))
    return (ends + inner) / points

"""A stirred liquid, warm alike all through: one lump, cooled through its faces (Newton).

Also good for a solid so thin that it hardly resists: Bi = h (V/A) / k <= 0.1.

Source: Incropera and DeWitt, *Fundamentals of Heat and Mass Transfer*,
chapter 5 (the lumped capacitance method).
"""

from __future__ import annotations

from math import exp, inf, log

from scheduler.heat.composition import Properties

MOST_BIOT = 0.1  # Çengel, *Heat and Mass Transfer*, chapter 4 (lumped system analysis)


def time_constant(food: Properties, volume_to_area: float, film: float) -> float:
    """τ = ρ cp (V/A) / h in seconds: after it 37 % of the difference from the air remain.

    Parameters
    ----------
    volume_to_area : float
        m, of `shapes.volume_to_area`.
    film : float
        From the liquid through the wall to the air or water outside, W/m²K.
    """
    return food.density * food.specific_heat * volume_to_area / film


def time_to(tau: float, *, start: float, target: float, air: float) -> float:
    """Until it has come from `start` to `target`, in the unit of `tau`; infinite for never."""
    if target >= start:
        return 0.0
    if air >= target:
        return inf
    return tau * log((start - air) / (target - air))


def temperature(tau: float, *, start: float, after: float, air: float) -> float:
    """Temperature after so long, in the unit of `tau`."""
    return air + (start - air) * exp(-after / tau)

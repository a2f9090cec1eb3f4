"""What a food is made of, and what follows for how it holds and conducts heat.

Source: Choi and Okos (1986), *Effects of temperature and composition on the
thermal properties of foods*; unfrozen food, about 0 to 150 °C. For the
specific heat of water two constants are in circulation, 4176.2 and 4128.9;
the first is within 0.7 % of measured water, the second 1 to 2 % low.
"""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass

SLACK = 0.01  # tables of foods are rounded, and rarely sum to one exactly

Polynomial = tuple[float, ...]

_SPECIFIC_HEAT: dict[str, Polynomial] = {  # J/kgK, with T in °C
    "water": (4176.2, -9.0864e-2, 5.4731e-3),
    "protein": (2008.2, 1.2089, -1.3129e-3),
    "fat": (1984.2, 1.4733, -4.8008e-3),
    "carbohydrate": (1548.8, 1.9625, -5.9399e-3),
    "fibre": (1845.9, 1.8306, -4.6509e-3),
    "ash": (1092.6, 1.8896, -3.6817e-3),
}
_CONDUCTIVITY: dict[str, Polynomial] = {  # W/mK
    "water": (0.57109, 1.7625e-3, -6.7036e-6),
    "protein": (0.17881, 1.1958e-3, -2.7178e-6),
    "fat": (0.18071, -2.7604e-4, -1.7749e-7),
    "carbohydrate": (0.20141, 1.3874e-3, -4.3312e-6),
    "fibre": (0.18331, 1.2497e-3, -3.1683e-6),
    "ash": (0.32962, 1.4011e-3, -2.9069e-6),
}
_DENSITY: dict[str, Polynomial] = {  # kg/m³
    "water": (997.18, 3.1439e-3, -3.7574e-3),
    "protein": (1329.9, -0.5184),
    "fat": (925.59, -0.41757),
    "carbohydrate": (1599.1, -0.31046),
    "fibre": (1311.5, -0.36589),
    "ash": (2423.8, -0.28063),
}


@dataclass(frozen=True, slots=True)
class Properties:
    """How a food holds and conducts heat.

    Attributes
    ----------
    density : float
        kg/m³.
    specific_heat : float
        J/kgK.
    conductivity : float
        W/mK.

    Raises
    ------
    ValueError
        One of them is not above 0.
    """

    density: float
    specific_heat: float
    conductivity: float

    def __post_init__(self) -> None:
        values: dict[str, float] = asdict(self)
        wrong = [
            f"{name.replace('_', ' ')} {value:g}: above 0 was expected"
            for name, value in values.items()
            if not (math.isfinite(value) and value > 0)
        ]
        if wrong:
            raise ValueError("\n".join(wrong))

    @property
    def diffusivity(self) -> float:
        """Conductivity over density times specific heat, m²/s."""
        return self.conductivity / (self.density * self.specific_heat)


@dataclass(frozen=True, slots=True)
class Composition:
    """Shares of a food's mass; they sum to 1 within 0.01 and are taken of their sum.

    Raises
    ------
    ValueError
        A share is not between 0 and 1, or they do not sum to 1.
    """

    water: float
    protein: float = 0.0
    fat: float = 0.0
    carbohydrate: float = 0.0
    fibre: float = 0.0
    ash: float = 0.0

    def __post_init__(self) -> None:
        shares: dict[str, float] = asdict(self)
        total = sum(shares.values())
        if abs(total - 100) <= 100 * SLACK:
            raise ValueError(
                f"the shares of the composition sum to {total:g}: these are per cent, "
                "and shares of one were expected (0.9, not 90)"
            )
        wrong = [
            f"{name} {share:g} is no share of the composition: it lies between 0 and 1"
            for name, share in shares.items()
            if not 0 <= share <= 1
        ]
        if not abs(total - 1) <= SLACK + 1e-9:
            made = " + ".join(f"{name} {share:g}" for name, share in shares.items() if share)
            off = f"{1 - total:g} is missing" if total < 1 else f"{total - 1:g} is too much"
            wrong.append(f"the shares of the composition sum to {total:g}, not 1: {made}; {off}")
        if wrong:
            raise ValueError("\n".join(wrong))

    def properties(self, celsius: float) -> Properties:
        """All three at one temperature, by the mixing rules of Choi and Okos.

        Specific heat by mass; density by 1/ρ = Σ x/ρ; conductivity by volume.
        """
        shares: dict[str, float] = asdict(self)
        total = sum(shares.values())
        mass = {name: share / total for name, share in shares.items()}
        room = {name: share / _at(_DENSITY[name], celsius) for name, share in mass.items()}
        volume = sum(room.values())
        return Properties(
            density=1 / volume,
            specific_heat=_mixed(mass, _SPECIFIC_HEAT, celsius),
            conductivity=_mixed(room, _CONDUCTIVITY, celsius) / volume,
        )


def _mixed(shares: dict[str, float], of: dict[str, Polynomial], celsius: float) -> float:
    return math.fsum(share * _at(of[name], celsius) for name, share in shares.items())


def _at(polynomial: Polynomial, celsius: float) -> float:
    return sum(factor * celsius**power for power, factor in enumerate(polynomial))

"""How long a thing that stands at its freezing point takes to freeze through (Plank).

Plank leaves out cooling down to the freezing point and on below it: `heat_to_freeze`
adds both to what must be taken away.

Source of the factors: *Encyclopaedia of Food Sciences and Nutrition*,
Freezing: principles (Plank's equation). Of the correction: Earle, *Unit
Operations in Food Processing*, chapter 6 (freezing).
"""

from __future__ import annotations

from scheduler.heat.shapes import DIMENSIONS, Faces, Shape, depth

ICE = 335_000.0  # J/kg to freeze water, as worked examples of food engineering take it


def plank(
    shape: Shape,
    across: float,
    *,
    film: float,
    conductivity: float,
    density: float,
    heat: float,
    freezing: float,
    air: float,
    faces: Faces = "both",
) -> float:
    """Seconds until the middle is frozen: ρ ΔH / (Tf - air) × (P a / h + R a² / k).

    P and R are 1/2 and 1/8 for a slab, half of that for a long cylinder, a
    third for a sphere; a is the whole thickness or diameter, twice the
    thickness where one face is cooled.

    Parameters
    ----------
    across : float
        m.
    film : float
        W/m²K.
    conductivity : float
        Of the frozen food, W/mK.
    density : float
        kg/m³.
    heat : float
        To take away, J/kg: its share of water times `ICE`, or `heat_to_freeze`.
    freezing, air : float
        °C.

    Raises
    ------
    ValueError
        Air that is not colder than the freezing point, or no thickness or film.
    """
    wrong = []
    if air >= freezing:
        wrong.append(f"air {air:g} °C: it must be colder than the freezing point, {freezing:g} °C")
    if not across > 0:
        wrong.append(f"thickness or diameter {across:g} m: more than nothing was expected")
    if not film > 0:
        wrong.append(f"film coefficient {film:g} W/m²K: above 0 was expected")
    if wrong:
        raise ValueError("\n".join(wrong))
    whole = 2 * depth(shape, across, faces)
    through = whole / (2 * film) + whole**2 / (8 * conductivity)
    return density * heat / (freezing - air) * through / DIMENSIONS[shape]


def heat_to_freeze(
    latent: float,
    *,
    start: float,
    freezing: float,
    end: float,
    unfrozen: float,
    frozen: float,
) -> float:
    """Heat to take away from `start` through freezing to `end`, J/kg.

    Parameters
    ----------
    latent : float
        J/kg of food.
    end : float
        Mean of the food when it counts as frozen, °C, as `start` and `freezing`.
    unfrozen, frozen : float
        Specific heat above and below the freezing point, J/kgK.
    """
    return unfrozen * (start - freezing) + latent + frozen * (freezing - end)

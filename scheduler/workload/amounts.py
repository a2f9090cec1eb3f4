"""Amounts of one component in another dimension, and rounding to whole units."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import BASE, Dimension, Quantity

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component

UNITS_IN = {Dimension.MASS: "mass", Dimension.VOLUME: "volume", Dimension.COUNT: "pieces"}


class NoConversion(ValueError):
    """Two dimensions that the recipe gives no way between."""


def ceil_of(number: Fraction | int) -> int:
    """The smallest whole number that is not below."""
    return -((-number) // 1) if isinstance(number, Fraction) else number


def ceil_div(a: int, b: int) -> int:
    """a / b rounded up, both whole, b > 0."""
    return -(-a // b)


def convert(
    base: Fraction | int, of: Dimension, to: Dimension, component: Component | None
) -> Fraction:
    """An amount in base units of `of` as base units of `to`, by piece weight and density.

    Raises
    ------
    NoConversion
        With what the recipe would have to say.
    """
    if of is to:
        return Fraction(base)
    if component is None:
        raise NoConversion(f"{BASE[of]} where {UNITS_IN[to]} are meant")
    return Fraction(base) * _mass_of(of, component) / _mass_of(to, component)


def _mass_of(dimension: Dimension, component: Component) -> Fraction:
    """Grams in one base unit."""
    if dimension is Dimension.MASS:
        return Fraction(1)
    given = component.piece_weight if dimension is Dimension.COUNT else component.density
    if given is None or given.dimension is not Dimension.MASS or given.base <= 0:
        word = "piece_weight" if dimension is Dimension.COUNT else "density"
        raise NoConversion(
            f"{component.id} is asked for in {BASE[dimension]} and in another measure. "
            f"Maybe give it a `{word}` in grams"
        )
    return given.base if dimension is Dimension.COUNT else given.base / 1000


def equal_parts(total: int, parts: int) -> tuple[int, ...]:
    """A whole number in parts as equal as whole numbers allow, the smaller ones first."""
    each, more = divmod(total, parts)
    return tuple(each + (i >= parts - more) for i in range(parts))


def written(base: Fraction | int, dimension: Dimension) -> Quantity:
    """A quantity in the unit a cook would use."""
    return Quantity.of(base, dimension)

"""Amounts and lengths, reckoned again from what the chef wrote."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from scheduler.domain.lengths import Decides
from scheduler.domain.quantity import Dimension, Quantity

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Time

A_UNIT = Fraction(1)
"""Files carry amounts to a gram, a millilitre or a piece: nearer than that is equal."""


def measure(amount: Quantity, into: Dimension, of: Component | None) -> Fraction | None:
    """An amount in base units of another dimension; None where nothing says how.

    Goes by the component's piece weight (piece to gram) and density (gram a
    litre), one after the other if need be.
    """
    if amount.dimension is into:
        return amount.base
    piece = of.piece_weight.base if of and of.piece_weight else None
    litre = of.density.base if of and of.density else None
    if amount.dimension is Dimension.COUNT and piece is not None:
        grams = amount.base * piece
    elif amount.dimension is Dimension.VOLUME and litre is not None:
        grams = amount.base * litre / 1000
    elif amount.dimension is Dimension.MASS:
        grams = amount.base
    else:
        return None
    if into is Dimension.MASS:
        return grams
    if into is Dimension.VOLUME:
        return grams * 1000 / litre if litre else None
    return grams / piece if into is Dimension.COUNT and piece else None


def so_many(amount: Quantity, per: Quantity, of: Component | None) -> int | None:
    """How many `per` an amount fills, rounded up; None where they do not compare."""
    size = measure(amount, per.dimension, of)
    return None if size is None else max(0, ceil(size / per.base))


def up(minutes: int, grid: int) -> int:
    """The next minute on the grid, or the same."""
    return -(-minutes // grid) * grid


@dataclass(frozen=True, slots=True)
class Length:
    """A written length for one quantity, in minutes.

    Attributes
    ----------
    least, best : int
        Shortest and best.
    most : int or None
        Longest as written; None where the shortest is the only length, which
        the grid may stretch to its next point.
    """

    least: int
    best: int
    most: int | None

    def longest(self, grid: int) -> int:
        """The longest that may be planned."""
        return up(self.least, grid) if self.most is None else self.most

    def set_aside(self, grid: int) -> int:
        """The one length planned where the food decides: the longest, up to the grid."""
        return up(self.least if self.most is None else self.most, grid)


def length(time: Time, amount: Quantity, of: Component | None) -> Length:
    """law = at_least + plus x amount / per, up to whole minutes; best and at_most grow alike."""
    growth = 0
    if time.per is not None:
        size = measure(amount, time.per.dimension, of)
        if size is not None:
            growth = ceil(time.plus * size / time.per.base)
    best = time.at_least if time.best is None else time.best
    open_range = time.at_most is not None and time.at_most > time.at_least
    most = time.at_most + growth if time.at_most is not None and open_range else None
    return Length(time.at_least + growth, best + growth, most)


def shortest(time: Time, amount: Quantity, of: Component | None) -> int:
    """The shortest a law may be; where the food decides, what is set aside for it."""
    law = length(time, amount, of)
    return law.most or law.least if time.decides is Decides.IT else law.least

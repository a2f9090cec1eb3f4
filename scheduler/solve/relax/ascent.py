"""Prices that climb: subgradient steps towards a known plan's value.

Steps follow Polyak (B. T. Polyak, "Minimization of unsmooth functionals",
1969): the part of the way to the best plan that one step is meant to gain,
over the squared length of the direction. Directions are averages over the
last steps; rows are scaled by what is usually taken of them, or a walk-in
with a hundred shelves would outshout a mixer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.relax.network import SCALE

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from scheduler.solve.relax.dual import Dual, Floats

    Narrow = NDArray[np.float32]

STEP = 0.02
"""The part of the gap that the first step is meant to close …"""
LONGER, SHORTER = 1.05, 0.8
"""… what it is multiplied by after a gain, and after PATIENCE steps without one."""
GAIN = 0.0002
"""Less than this part of the gap is no gain."""
PATIENCE = 15
SHORTEST = 1e-4
"""Steps so short lead nowhere: enough."""
MEMORY = 0.8
"""How much of the last direction goes on."""
SLOPES = 0.005
"""Scale of the slopes of arcs left over: their distances are long."""


@dataclass(frozen=True, slots=True)
class Ascent:
    """Where the prices stand; `climb` goes on from it.

    Attributes
    ----------
    value : int
        The best bound so far, in 1 / SCALE weighted minutes.
    best, prices, direction : array of float32
        Scaled prices: the best ones, the present ones, and where they were going.
    step, waited
        Length of the next step, and steps since the last gain.
    """

    value: int
    best: Narrow
    prices: Narrow
    direction: Narrow | None
    step: float = STEP
    waited: int = 0

    @property
    def over(self) -> bool:
        """Nothing more is to be expected."""
        return self.step < SHORTEST


def narrow(values: NDArray[np.floating]) -> Narrow:
    """Half the size: prices travel between processes."""
    return values.astype(np.float32)


def scales(dual: Dual) -> Floats:
    """For each price what one step of it means."""
    out = np.full(dual.size, SLOPES)
    for pool, part in zip(dual.pools, dual.parts, strict=True):
        squares = [amount * amount for _, _, amount in pool.terms]
        out[part] = (sum(squares) / len(squares)) ** -0.5
    return out


def begin(dual: Dual) -> Ascent:
    """Everything free of charge: each tree by itself in an empty kitchen."""
    none = np.zeros(dual.size, dtype=np.float32)
    return Ascent(dual.answer(none.astype(np.float64)).value, none, none, None)


def climb(dual: Dual, ascent: Ascent, target: int, go_on: Callable[[], bool]) -> Ascent:
    """Take steps while there is something to gain.

    Parameters
    ----------
    target : int
        A known plan's value in weighted minutes; how good it is changes only the speed.
    go_on : callable
        Asked before each step.
    """
    scale, free = scales(dual), dual.free
    aim = target * SCALE
    value, best, step, waited = ascent.value, ascent.best, ascent.step, ascent.waited
    prices, heading = ascent.prices, ascent.direction
    while value < aim and step >= SHORTEST and go_on():
        answer = dual.answer(prices.astype(np.float64) * scale)
        if answer.value > value:
            if answer.value - value > GAIN * (aim - value):
                waited, step = 0, step * LONGER
            value, best = answer.value, prices
        else:
            waited += 1
        if waited > PATIENCE:
            waited, step, prices, heading = 0, step * SHORTER, best, None
            continue
        slope = narrow(answer.slope * scale)
        slope[:free][(prices[:free] <= 0) & (slope[:free] < 0)] = 0
        first = heading is None
        heading = slope if heading is None else narrow(MEMORY * heading + (1 - MEMORY) * slope)
        going = heading.copy()
        going[:free][(prices[:free] <= 0) & (going[:free] < 0)] = 0
        length = float((going * going).sum(dtype=np.float64))
        if length == 0.0:
            if first:
                step = 0.0  # nothing is over-full: these prices are the best there are
            heading = None
            continue
        prices = prices + np.float32(step * (aim - value) / SCALE / length) * going
        np.maximum(prices[:free], 0, out=prices[:free])
    return replace(
        ascent,
        value=value,
        best=best,
        prices=prices,
        direction=heading,
        step=step,
        waited=waited,
    )

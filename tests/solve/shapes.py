"""Which primitives a random problem may have, and how large it is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Shape:
    """Which primitives may occur, and how large it all gets.

    Attributes
    ----------
    components, steps, people : tuple of (int, int)
        Least and most.
    horizon : tuple of (int, int)
        Ticks.
    grid : tuple of int
        Minutes a tick, one of these.
    dishes : tuple of (int, int)
        Least and most; each has a moment of its own.
    service : float
        Earliest moment of service, as a part of the horizon.
    now : int
        Largest `now`.
    ranges, holds, graces, crews, teams, tends, windows, adds, ovens, loads,
    within, containers, choices, deep, duties, stock, bands, fixed_consumers, lags,
    prices, calm : bool
        Whether these may occur: ranges of length; waits and shares on
        shelves; transfer allowances; hands; two lines of distinct people;
        tending by gaps; tending by windows; adds; oven states; steps in
        loads; somebody on shift; containers over several steps; several
        units to choose from; components that feed components; standing
        duties; something on hand; costs; only fixed batches take shares (so
        that no two batches that move are tied); a least and a most between
        two tasks that are not neighbours; starts and machines that cost
        something; what only whole solutions cost.
    ways : bool
        Whether hands may have several ways, with lengths and prices of their own.
    doors, neighbours, cleaning : bool
        What is shut on benches and in ovens; what may not be beside what; stones
        that are cleaned between two contents.
    scoured : bool
        And pans that are cleaned so and have settings.
    leaves : bool
        Whether there are jobs and duties that may be left, and breaks.
    things : bool
        Crates that stand from when they come, what the first step gives by the
        way, moulds that are washed when the last step has emptied them.
    beside : bool
        And moulds that an earlier step empties, washed beside what follows.
    overtime : bool
        Ends of people's stretches that cost.
    rest : bool
        And beginnings in which they eat their rest.
    """

    components: tuple[int, int] = (1, 3)
    steps: tuple[int, int] = (1, 2)
    people: tuple[int, int] = (1, 2)
    horizon: tuple[int, int] = (12, 20)
    grid: tuple[int, ...] = (1, 5)
    dishes: tuple[int, int] = (1, 2)
    service: float = 0.6
    now: int = 2
    ranges: bool = True
    holds: bool = True
    graces: bool = True
    crews: bool = True
    teams: bool = True
    tends: bool = True
    windows: bool = True
    adds: bool = True
    ovens: bool = True
    loads: bool = True
    within: bool = True
    containers: bool = True
    choices: bool = True
    deep: bool = True
    duties: bool = True
    stock: bool = True
    bands: bool = True
    fixed_consumers: bool = False
    lags: bool = True
    ways: bool = False
    doors: bool = False
    neighbours: bool = False
    leaves: bool = False
    prices: bool = True
    calm: bool = False
    cleaning: bool = False
    scoured: bool = False
    things: bool = False
    beside: bool = False
    overtime: bool = False
    rest: bool = False


CHAINS = Shape(loads=False, lags=False, fixed_consumers=True)
"""Chains of tasks whose consumers are fixed: where one batch is inserted exactly."""

SMALL = Shape(components=(1, 2), horizon=(10, 14), steps=(1, 2), prices=False)
"""Small enough for the brute-force search."""

EVERYTHING = Shape(
    components=(2, 4), steps=(1, 3), horizon=(16, 36), people=(1, 3), ways=True, doors=True,
    neighbours=True, leaves=True, calm=True, cleaning=True, scoured=True, things=True,
    beside=True, overtime=True, rest=True,
)  # fmt: skip
"""All that there is, at once."""

"""Capacities: what overlaps on one resource, and at one person, fits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.model import Load
from scheduler.solve.cpsat.pairs import add_pairs, filled
from scheduler.solve.cpsat.ranges import merged, without
from scheduler.solve.cpsat.timeline import At

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Model


def add_capacities(model: Model) -> None:
    """sum of amounts of loads that overlap <= capacity, for every resource at every tick.

    Cumulative; no-overlap where no two loads fit together. Loads that stay
    are summed to a profile first.
    """
    for r, loads in sorted(model.of_resource.items()):
        model.units.add("capacity")
        fit(model, loads, model.problem.resources[r].capacity)


def add_people(model: Model) -> None:
    """Everybody is at one thing at a time (`hands` says that they are there for it)."""
    for _, loads in sorted(model.of_person.items()):
        model.units.add("people")
        fit(model, loads, 1)


def fit(model: Model, loads: list[Load], capacity: int) -> None:
    """What overlaps fits."""
    # Where a batch has no possible time the model says so already, and its times mean nothing.
    still = [load for load in loads if load.still and load.least > 0]
    profile = _profile([load for load in still if load.start.offset < load.end.offset])
    if any(block.amount > capacity for block in profile):
        model.when(False)
        return
    moving: list[Load] = []
    for load in loads:
        if load.still:
            continue
        cleared = _clear(model, load, profile, capacity)
        if cleared.amount > capacity and cleared.least > 0:
            model.when(False, cleared.lit)
        else:
            moving.append(cleared)
    if not moving:
        return
    smallest = min(load.amount for load in moving)
    profile = [block for block in profile if block.amount + smallest <= capacity]
    peak = max((block.amount for block in profile), default=0)
    if sum(load.amount for load in moving) + peak <= capacity:
        return
    everything = [*moving, *profile]
    alone = _alone(moving, profile, capacity)
    if model.encoding.pairs:
        add_pairs(model, everything, capacity, alone)
        return
    intervals = [model.interval(load) for load in everything]
    # An empty interval inside another is refused by no-overlap, and takes nothing of a cumulative.
    if alone and all(load.least > 0 for load in everything):
        model.cp.add_no_overlap(intervals)
    else:
        model.cp.add_cumulative(intervals, [load.amount for load in everything], capacity)


def _clear(model: Model, load: Load, profile: list[Load], capacity: int) -> Load:
    """Keep a load clear of what stays and leaves no room for it; returns the load to count."""
    holes = [
        (block.start.offset, block.end.offset)
        for block in profile
        if block.amount + load.amount > capacity
        and block.end.offset > load.start.low
        and block.start.offset < load.end.high
    ]
    if not holes:
        return load
    if load.least < 1:
        load = filled(model, load)
    model.inside(load, without([(0, model.problem.horizon)], holes))
    return load


def _alone(moving: list[Load], profile: list[Load], capacity: int) -> bool:
    """Whether no two of them fit together."""
    amounts = sorted(load.amount for load in moving)
    others = [load.amount for load in profile] + amounts[1:]
    return bool(amounts) and amounts[0] + min(others, default=capacity + 1) > capacity


def _profile(loads: list[Load]) -> list[Load]:
    """Fixed loads as one load for each stretch of the same sum."""
    if len({load.amount for load in loads}) == 1 and loads[0].amount == 1:
        spans = [(load.start.offset, load.end.offset) for load in loads]
        if sum(b - a for a, b in merged(spans)) == sum(b - a for a, b in spans):
            return [_block(a, b, 1) for a, b in merged(spans)]
    steps: dict[int, int] = {}
    for load in loads:
        steps[load.start.offset] = steps.get(load.start.offset, 0) + load.amount
        steps[load.end.offset] = steps.get(load.end.offset, 0) - load.amount
    out: list[Load] = []
    at, total = 0, 0
    for tick in sorted(steps):
        if total and tick > at:
            if out and out[-1].end.offset == at and out[-1].amount == total:
                at = out.pop().start.offset
            out.append(_block(at, tick, total))
        at, total = tick, total + steps[tick]
    return out


def _block(a: int, b: int, amount: int) -> Load:
    start, end = At(None, None, a, a, a), At(None, None, b, b, b)
    return Load(start, end, b - a, b - a, amount, True)

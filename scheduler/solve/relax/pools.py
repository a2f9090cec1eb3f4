"""What is shared, as rows of a sum: people who can stand in for each other, machines, shelves.

For a set of people (of resources) everything that can be done only by them
(only on them) counts; at every tick that comes to at most so many as are
there. A use from s to e counts amount * ([s + grace <= t] - [e <= t]), which
is never more than what it takes; so rows lose nothing that a plan needs, and
their prices fall apart into prices of single moments.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.relax.network import Network
    from scheduler.solve.relax.relations import Points
    from scheduler.workload.primitives import Line


@dataclass(slots=True)
class Pool:
    """One row for every tick.

    Attributes
    ----------
    room : array of int
        What is there at each tick, less what given moments take.
    terms : list of (int, int, int)
        node, offset, amount: from x[node] + offset on so much more is taken.
    live : array of bool
        Ticks at which it could be exceeded at all.
    """

    room: Ints
    terms: list[tuple[int, int, int]]
    live: Bools


@dataclass(slots=True)
class _Demand:
    """amount from one (point, offset) to another."""

    who: frozenset[int]
    amount: int
    start: tuple[int, int]
    end: tuple[int, int]


def pools_of(points: Points, net: Network) -> list[Pool]:
    """The rows that could bind."""
    problem = points.problem
    horizon = problem.horizon
    there = np.zeros((len(problem.people), horizon), dtype=np.int64)
    for p, (_, spells) in enumerate(problem.people):
        for a, b in spells:
            there[p, max(0, a) : b] = 1
    machines: list[_Demand] = []
    for use in problem.uses:
        options = problem.choices[use.choice].options
        start = points.number(use.start), use.grace
        who = frozenset(o.resource for o in options)
        machines.append(_Demand(who, use.amount, start, (points.number(use.end), 0)))
    hands: list[_Demand] = []
    for crew in problem.crews:
        if crew.leave is not None:
            continue  # whoever is at it may be at something else as well
        start, end = (2 * crew.task, 0), (2 * crew.task + 1, 0)
        if len(crew.ways) == 1:
            hands += _lines(crew.ways[0].lines, start, end)
        else:  # whichever way it is, so many out of all these people at least
            lines = [line for way in crew.ways for line in way.lines]
            fewest = min(sum(line.count for line in way.lines) for way in crew.ways)
            who = frozenset(p for line in lines for p in line.people)
            hands.append(_Demand(who, fewest, start, end))
    for add in problem.adds:
        # It lies somewhere in a few ticks; those it cannot miss count.
        start, end = (2 * add.task, add.most), (2 * add.task, add.least + add.length)
        if add.most < add.least + add.length:
            hands += _lines(add.lines, start, end)
            for taken in add.uses:
                machines.append(_Demand(frozenset({taken.resource}), taken.amount, start, end))
    capacity = [r.capacity for r in problem.resources]
    out = []
    for who in dict.fromkeys(d.who for d in machines):
        room = np.full(horizon, sum(capacity[r] for r in who), dtype=np.int64)
        out.append(_pool(points, net, room, [d for d in machines if d.who <= who]))
    for who in dict.fromkeys(d.who for d in hands):
        room = there[sorted(who)].sum(axis=0)
        out.append(_pool(points, net, room, [d for d in hands if d.who <= who]))
    return [pool for pool in out if pool.terms and bool(pool.live.any())]


def _lines(lines: tuple[Line, ...], start: tuple[int, int], end: tuple[int, int]) -> list[_Demand]:
    return [_Demand(frozenset(line.people), line.count, start, end) for line in lines]


def _pool(points: Points, net: Network, room: Ints, demands: list[_Demand]) -> Pool:
    horizon = len(room)
    merged: dict[tuple[int, int], int] = {}
    possible = np.zeros(horizon + 1, dtype=np.int64)
    given = np.zeros(horizon + 1, dtype=np.int64)
    for d in demands:
        for (point, away), amount in ((d.start, d.amount), (d.end, -d.amount)):
            node, offset = net.place[point]
            if node is None:
                given[min(horizon, offset + away)] += amount
            else:
                key = node, offset + away
                merged[key] = merged.get(key, 0) + amount
        first = min(horizon, points.low[d.start[0]] + d.start[1])
        final = min(horizon, points.high[d.end[0]] + d.end[1])
        if first < final:
            possible[first] += d.amount
            possible[final] -= d.amount
    live = np.cumsum(possible)[:horizon] > room
    room = room - np.cumsum(given)[:horizon]
    return Pool(room, [(n, o, a) for (n, o), a in merged.items() if a], live)

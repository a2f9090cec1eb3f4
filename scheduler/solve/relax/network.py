"""Moments that move together as one node, and the arcs between nodes.

Moments at a fixed distance become one node with offsets; what cannot move at
all belongs to no node. Costs are in 1 / SCALE weighted minutes, whole numbers.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF
from scheduler.solve.relax.relations import Hopeless

if TYPE_CHECKING:
    from collections.abc import Iterable

    from scheduler.solve.arrays import Ints
    from scheduler.solve.relax.relations import Points, Relation
    from scheduler.workload.primitives import Band

SCALE = 1024
"""Parts of a weighted minute that prices are counted in."""


@dataclass(slots=True)
class Node:
    """Moments that move together: x in low .. low + len(cost) - 1, and what each x costs."""

    low: int
    cost: Ints

    @property
    def high(self) -> int:
        """The last x."""
        return self.low + len(self.cost) - 1


@dataclass(slots=True)
class Arc:
    """x[after] - x[before] = d costs cost[d - first]; nothing else is allowed.

    `last`: x[after] <= last[x[before] - low of before] besides.
    """

    before: int
    after: int
    first: int
    cost: Ints
    last: Ints | None = None


@dataclass(slots=True)
class Network:
    """Nodes and arcs, at most one arc between two nodes.

    Attributes
    ----------
    place : list of (int or None, int)
        For each point its node and offset; None and the moment where it is given.
    base : int
        What cannot be helped.
    """

    nodes: list[Node] = field(default_factory=list)
    arcs: list[Arc] = field(default_factory=list)
    place: list[tuple[int | None, int]] = field(default_factory=list)
    base: int = 0


def cost_of(bands: Iterable[Band], distances: Ints, grid: int) -> Ints:
    """Bands over distances in ticks."""
    out = np.zeros(len(distances), dtype=np.int64)
    x = distances * grid
    for band in bands:
        out += band.weight * (np.maximum(0, band.low - x) + np.maximum(0, x - band.high))
    return out * SCALE


def network_of(points: Points) -> Network:
    """Contract what is rigid and put relations between the same nodes together.

    Raises
    ------
    Hopeless
        If nothing is left for some node.
    """
    net = Network()
    _contract(points, net)
    grid = points.problem.grid
    between: dict[tuple[int, int], list[tuple[Relation, int, bool]]] = {}
    for r in points.relations:
        (a, x), (b, y) = net.place[r.before], net.place[r.after]
        if a == b:
            # At a fixed distance; or neither can move.
            if not r.least <= y - x <= r.most:
                raise Hopeless
            net.base += int(cost_of(r.bands, np.array([y - x]), grid)[0])
            if r.last is not None:
                if a is None:
                    if y > r.last[x]:
                        raise Hopeless
                else:
                    node = net.nodes[a]
                    t = np.arange(node.low, node.high + 1)
                    node.cost[t + y > r.last[np.clip(t + x, 0, len(r.last) - 1)]] = INF
        elif a is None or b is None:
            _one_sided(net, r, grid)
        else:
            turned = (b, a) in between
            key = (b, a) if turned else (a, b)
            between.setdefault(key, []).append((r, y - x, turned))
    for key, found in between.items():
        net.arcs.append(_arc(net, key, found, grid))
    _dear(points, net)
    if any(bool((node.cost >= INF).all()) for node in net.nodes):
        raise Hopeless
    return net


def _dear(points: Points, net: Network) -> None:
    """Starts that cost something."""
    for t, task in enumerate(points.problem.tasks):
        for dear in task.dear:
            which, away = net.place[2 * t]
            if which is None:
                net.base += dear.price * SCALE if dear.start <= away < dear.end else 0
                continue
            node = net.nodes[which]
            first, last = dear.start - away - node.low, dear.end - away - node.low
            node.cost[max(0, first) : max(0, last)] += dear.price * SCALE
            np.minimum(node.cost, INF, out=node.cost)


def _contract(points: Points, net: Network) -> None:
    low, high = points.low, points.high
    parent = list(range(len(low)))
    offset = [0] * len(low)

    def find(p: int) -> tuple[int, int]:
        path = []
        while parent[p] != p:
            path.append(p)
            p = parent[p]
        away = 0
        for q in reversed(path):
            away += offset[q]
            parent[q], offset[q] = p, away
        return p, away

    for r in points.relations:
        if r.least == r.most:
            (a, x), (b, y) = find(r.before), find(r.after)
            if a != b:
                parent[b], offset[b] = a, x + r.least - y
            elif y - x != r.least:
                raise Hopeless
    members: dict[int, list[tuple[int, int]]] = {}
    for p in range(len(low)):
        root, away = find(p)
        members.setdefault(root, []).append((p, away))
    net.place = [(None, 0)] * len(low)
    for group in members.values():
        first = max(low[p] - away for p, away in group)
        last = min(high[p] - away for p, away in group)
        if first > last:
            raise Hopeless
        if first == last:
            for p, away in group:
                net.place[p] = None, first + away
            continue
        for p, away in group:
            net.place[p] = len(net.nodes), away
        net.nodes.append(Node(first, np.zeros(last - first + 1, dtype=np.int64)))


def _one_sided(net: Network, r: Relation, grid: int) -> None:
    """A relation to a moment that is given: a cost of the other."""
    (a, x), (b, y) = net.place[r.before], net.place[r.after]
    moving = b if a is None else a
    assert moving is not None
    node = net.nodes[moving]
    t = np.arange(node.low, node.high + 1)
    d = t + y - x if a is None else y - t - x
    node.cost += cost_of(r.bands, d, grid)
    node.cost[(d < r.least) | (d > r.most)] = INF
    if r.last is not None:
        if a is None:
            node.cost[t + y > r.last[x]] = INF
        else:
            node.cost[y > r.last[t + x]] = INF
    np.minimum(node.cost, INF, out=node.cost)


def _arc(
    net: Network, key: tuple[int, int], found: list[tuple[Relation, int, bool]], grid: int
) -> Arc:
    """All relations between two nodes as one cost of their distance."""
    u, v = net.nodes[key[0]], net.nodes[key[1]]
    first, final = v.low - u.high, v.high - u.low
    for r, shift, turned in found:
        # x[after] - x[before] = (node after - node before) + shift
        least, most = r.least - shift, r.most - shift
        if turned:
            least, most = -most, -least
        first, final = max(first, least), min(final, most)
    if first > final:
        raise Hopeless
    d = np.arange(first, final + 1)
    cost = np.zeros(len(d), dtype=np.int64)
    last: Ints | None = None
    for r, shift, turned in found:
        cost += cost_of(r.bands, (-d if turned else d) + shift, grid)
        if r.last is not None and not turned:
            (_, x), (_, y) = net.place[r.before], net.place[r.after]
            cut = r.last[u.low + x : u.high + x + 1] - y
            u.cost[cut < v.low] = INF
            # Messages need it to grow; the greatest so far allows no less.
            cut = np.maximum.accumulate(cut)
            last = cut if last is None else np.minimum(last, cut)
    return Arc(key[0], key[1], first, cost, last)

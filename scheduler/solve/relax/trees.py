"""The arcs of a network as trees, on which messages find the optimum exactly.

Arcs that would close a circle are left over.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF
from scheduler.solve.relax.kernel import Piece, message, pieces
from scheduler.solve.relax.relations import Hopeless

if TYPE_CHECKING:
    from scheduler.solve.arrays import Ints
    from scheduler.solve.relax.network import Arc, Network


@dataclass(slots=True)
class Branch:
    """A node that hangs from its parent: what u - t costs, u its moment and t the parent's."""

    node: int
    parent: int
    first: int
    cost: Ints
    parts: list[Piece]
    limits: tuple[Ints, Ints] | None


@dataclass(slots=True)
class Forest:
    """Branches in an order in which every node comes before its parent."""

    branches: list[Branch]
    roots: list[int]
    over: list[Arc]
    """Arcs that would close a circle."""


def forest_of(net: Network) -> Forest:
    """A spanning forest of the arcs that say most."""
    weight = [_weight(net, arc) for arc in net.arcs]
    group = list(range(len(net.nodes)))

    def find(n: int) -> int:
        while group[n] != n:
            group[n] = group[group[n]]
            n = group[n]
        return n

    beside: list[list[Arc]] = [[] for _ in net.nodes]
    over = []
    for i in sorted(range(len(net.arcs)), key=lambda i: -weight[i]):
        arc = net.arcs[i]
        a, b = find(arc.before), find(arc.after)
        if a == b:
            over.append(arc)
        else:
            group[a] = b
            beside[arc.before].append(arc)
            beside[arc.after].append(arc)
    roots, order = [], []
    seen = [False] * len(net.nodes)
    for root in range(len(net.nodes)):
        if seen[root]:
            continue
        seen[root] = True
        roots.append(root)
        queue = [root]
        for parent in queue:
            for arc in beside[parent]:
                child = arc.after if arc.before == parent else arc.before
                if not seen[child]:
                    seen[child] = True
                    order.append(_branch(net, arc, child, parent))
                    queue.append(child)
    return Forest(order[::-1], roots, over)


def _weight(net: Network, arc: Arc) -> float:
    """How much an arc says: steep and narrow ones first."""
    u, v = net.nodes[arc.before], net.nodes[arc.after]
    free = v.high - u.low - (v.low - u.high) + 1
    costs = float(arc.cost.max()) > 0
    return (2.0 if costs else 0.0) + 1.0 - len(arc.cost) / free


def _branch(net: Network, arc: Arc, child: int, parent: int) -> Branch:
    forward = arc.after == child
    cost = arc.cost if forward else arc.cost[::-1]
    first = arc.first if forward else -(arc.first + len(cost) - 1)
    limits: tuple[Ints, Ints] | None = None
    up, down = net.nodes[parent], net.nodes[child]
    if arc.last is not None:
        if forward:
            limits = np.full(len(up.cost), down.low), arc.last
        else:
            t = np.arange(up.low, up.high + 1)
            least = down.low + np.searchsorted(arc.last, t, side="left")
            limits = least, np.full(len(up.cost), down.high)
    return Branch(child, parent, first, cost, pieces(first, cost), limits)


def upward(net: Network, forest: Forest, costs: list[Ints]) -> int:
    """Fold every branch into its parent; what the roots cost at least. `costs` is changed.

    Raises
    ------
    Hopeless
        If some tree has no place even by itself.
    """
    for b in forest.branches:
        up = net.nodes[b.parent]
        costs[b.parent] += message(
            costs[b.node], net.nodes[b.node].low, up.low, len(up.cost), b.parts, b.limits
        )
        np.minimum(costs[b.parent], INF, out=costs[b.parent])
    least = [int(costs[root].min()) for root in forest.roots]
    if max(least, default=0) >= INF // 2:
        raise Hopeless
    return sum(least)


def downward(net: Network, forest: Forest, costs: list[Ints]) -> list[int]:
    """Moments of the nodes that cost as much as `upward` says, from what it left in `costs`."""
    x = [0] * len(net.nodes)
    for root in forest.roots:
        x[root] = net.nodes[root].low + int(costs[root].argmin())
    for b in reversed(forest.branches):
        node, t = net.nodes[b.node], x[b.parent]
        low = max(node.low, t + b.first)
        high = min(node.high, t + b.first + len(b.cost) - 1)
        if b.limits is not None:
            i = t - net.nodes[b.parent].low
            low, high = max(low, int(b.limits[0][i])), min(high, int(b.limits[1][i]))
        here = costs[b.node][low - node.low : high - node.low + 1]
        extra = b.cost[low - t - b.first : high - t - b.first + 1]
        x[b.node] = low + int((here + extra).argmin())
    return x

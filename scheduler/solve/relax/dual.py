"""The week with prices: what it costs at least, and where the prices are wrong.

    bound = least over all moments (costs + prices * what is taken) - prices * what is there

is never more than any plan costs, whatever the prices, as long as none is
negative: a plan takes at most what is there. Arcs that would close a circle
are replaced by a tangent: cost(d) >= slope * d - most over d of (slope * d -
cost(d)), whatever the slope. All in whole numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF
from scheduler.solve.relax.network import SCALE, network_of
from scheduler.solve.relax.pools import pools_of
from scheduler.solve.relax.relations import points_of
from scheduler.solve.relax.trees import downward, forest_of, upward

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from scheduler.solve.arrays import Ints
    from scheduler.solve.index import Index

    Floats = NDArray[np.float64]


LARGEST = float(1 << 40)


@dataclass(slots=True)
class Answer:
    """What one set of prices says.

    Attributes
    ----------
    value : int
        The bound, in 1 / SCALE weighted minutes.
    slope : array of float
        For each price how much too much is taken (or too far apart things are).
    """

    value: int
    slope: Floats


class Dual:
    """A week's network, pools and trees; `answer` evaluates prices.

    Attributes
    ----------
    size : int
        Prices: live ticks of every pool, then one slope for each arc left over.
    free : int
        From this place on they may be negative.
    """

    def __init__(self, index: Index) -> None:
        self.points = points_of(index)
        self.net = network_of(self.points)
        self.pools = pools_of(self.points, self.net)
        self.forest = forest_of(self.net)
        self.horizon = index.problem.horizon
        self.live = [np.flatnonzero(pool.live) for pool in self.pools]
        ends = np.cumsum([0, *(len(live) for live in self.live)]).tolist()
        self.parts = [slice(a, b) for a, b in pairwise(ends)]
        self.free = ends[-1]
        self.size = self.free + len(self.forest.over)
        self.dearest = float(
            sum(int(node.cost[node.cost < INF].max()) for node in self.net.nodes)
            + sum(int(arc.cost.max()) for arc in self.net.arcs)
        )

    def answer(self, prices: Floats) -> Answer:
        """Evaluate prices (weighted minutes for one more, a tick), rounded to whole parts."""
        whole = np.rint(np.clip(prices * SCALE, -LARGEST, LARGEST)).astype(np.int64)
        if self._steepest(whole) > INF // 4:
            return Answer(-INF, np.zeros(self.size))
        value = self.net.base
        costs = [node.cost.copy() for node in self.net.nodes]
        for pool, live, part in zip(self.pools, self.live, self.parts, strict=True):
            price = np.maximum(0, whole[part])
            if not price.any():
                continue
            value -= int((price * pool.room[live]).sum())
            self._charge(costs, pool.terms, live, price)
        slopes = whole[self.free :].tolist()
        over = [self._tangent(costs, i, slope) for i, slope in enumerate(slopes)]
        value += sum(least for least, _ in over)
        value += upward(self.net, self.forest, costs)
        x = downward(self.net, self.forest, costs)
        slope = np.empty(self.size)
        for pool, live, part in zip(self.pools, self.live, self.parts, strict=True):
            taken = np.zeros(self.horizon + 1, dtype=np.int64)
            for node, offset, amount in pool.terms:
                taken[min(self.horizon, x[node] + offset)] += amount
            slope[part] = (np.cumsum(taken)[:-1] - pool.room)[live]
        for i, (arc, (_, d)) in enumerate(zip(self.forest.over, over, strict=True)):
            slope[self.free + i] = x[arc.after] - x[arc.before] - d
        return Answer(value, slope)

    def _steepest(self, whole: Ints) -> float:
        """More than any assignment costs at these prices; where it nears INF they say nothing."""
        prices = np.abs(whole).astype(np.float64)
        out = self.dearest
        for pool, part in zip(self.pools, self.parts, strict=True):
            out += float(prices[part].sum()) * sum(abs(a) for _, _, a in pool.terms)
        return out + 2.0 * self.horizon * float(prices[self.free :].sum())

    def _charge(
        self, costs: list[Ints], terms: list[tuple[int, int, int]], live: Ints, price: Ints
    ) -> None:
        """What is taken from a moment on costs all prices from then on."""
        tail = np.zeros(2 * self.horizon + 1, dtype=np.int64)
        tail[live] = price
        tail = np.cumsum(tail[::-1])[::-1]
        for n, offset, amount in terms:
            node = self.net.nodes[n]
            costs[n] += amount * tail[node.low + offset : node.high + offset + 1]

    def _tangent(self, costs: list[Ints], i: int, slope: int) -> tuple[int, int]:
        """Replace an arc by its tangent: the constant, and the distance at which it touches."""
        arc = self.forest.over[i]
        rest = arc.cost - slope * np.arange(arc.first, arc.first + len(arc.cost))
        at = int(rest.argmin())
        if slope:
            before, after = self.net.nodes[arc.before], self.net.nodes[arc.after]
            costs[arc.before] -= slope * np.arange(before.low, before.high + 1)
            costs[arc.after] += slope * np.arange(after.low, after.high + 1)
        return int(rest[at]), arc.first + at

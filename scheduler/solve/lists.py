"""A population of lists of activities, crossed and justified, for a schedule that ends early.

Sources: crossing lists at two points, S. Hartmann, "A competitive genetic
algorithm for resource-constrained project scheduling", Naval Research
Logistics 45 (1998) 733-750; every child justified twice, V. Valls, F. Ballestín
and S. Quintanilla, "A hybrid genetic algorithm for the resource-constrained
project scheduling problem", European Journal of Operational Research 185
(2008) 495-508. From memory.
"""

from __future__ import annotations

from heapq import heapify, heappop, heappush
from random import Random
from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from scheduler.solve.justify import Builder

SIZE = 60
"""Lists in the population."""

STALE = 30
"""Generations without anything better before a new population."""

MUTATION = 0.02
"""Of two neighbours in a list, to change places."""


class Lists:
    """A search that goes on for as long as it is asked.

    Attributes
    ----------
    best : list of int
        Starts of the best schedule so far.
    finish : int
        When it ends.
    """

    def __init__(self, builder: Builder, seed: int = 1) -> None:
        self.builder = builder
        self.network = builder.network
        self.random = Random(seed)
        self.lock = Lock()
        self.best = self._made(self._by(self._slack()))
        self.finish = builder.finish(self.best)
        self.alive: list[tuple[int, list[int]]] = []
        """Finish and order, the best first."""
        self.stale = 0
        self.met: list[list[int]] = []

    def run(self, enough: Callable[[], bool]) -> None:
        """Search until the least finish is met or `enough` says so."""
        while self.finish > self.network.least and not enough():
            if len(self.alive) < SIZE:
                self._fill(enough)
            else:
                self._generation(enough)

    def meet(self, starts: Sequence[int]) -> None:
        """A schedule from elsewhere joins in, at the next generation."""
        self.met.append(list(starts))
        self._keep(list(starts), self.builder.finish(starts))

    # -- the first lists ------------------------------------------------------------

    def _slack(self) -> list[float]:
        """Latest starts for the longest path."""
        return [-float(t) for t in self.network.tails]

    def _by(self, value: Sequence[float]) -> list[int]:
        """The activities by a value, each after those before it."""
        after, before = self.network.after, self.network.before
        waiting = [len(those) for those in before]
        ready = [(value[j], j) for j, n in enumerate(waiting) if not n]
        heapify(ready)
        order = []
        while ready:
            _, i = heappop(ready)
            order.append(i)
            for j, _ in after[i]:
                waiting[j] -= 1
                if not waiting[j]:
                    heappush(ready, (value[j], j))
        return order

    def _made(self, order: Sequence[int]) -> list[int]:
        return self.builder.justified(self.builder.forward(order))

    def _fill(self, enough: Callable[[], bool]) -> None:
        """Lists by latest start, disturbed."""
        spread = self.network.least / 4
        while len(self.alive) < SIZE and not enough():
            share = spread * self.random.random()
            value = [v + share * self.random.gauss(0, 1) for v in self._slack()]
            self._join(self.alive, self._made(self._by(value)))
        self.alive.sort(key=lambda one: one[0])

    # -- their children -------------------------------------------------------------

    def _generation(self, enough: Callable[[], bool]) -> None:
        """Every list with another: two children; the better half of all live on."""
        parents = [order for _, order in self.alive]
        self.random.shuffle(parents)
        before = self.finish
        grown = list(self.alive)
        while self.met:
            self._join(grown, self.builder.justified(self.met.pop()))
        for one, other in zip(parents[::2], parents[1::2], strict=False):
            if enough():
                return
            self._join(grown, self._made(self._disturbed(self._crossed(one, other))))
            self._join(grown, self._made(self._disturbed(self._crossed(other, one))))
        grown.sort(key=lambda one: one[0])
        seen: set[tuple[int, ...]] = set()
        self.alive = []
        for finish, order in grown:
            key = tuple(order)
            if key not in seen and len(self.alive) < SIZE:
                seen.add(key)
                self.alive.append((finish, order))
        self.stale = 0 if self.finish < before else self.stale + 1
        if self.stale > STALE:
            self.stale = 0
            self.alive = []

    def _join(self, those: list[tuple[int, list[int]]], starts: list[int]) -> None:
        finish = self.builder.finish(starts)
        self._keep(starts, finish)
        those.append((finish, self.builder.order(starts)))

    def _keep(self, starts: list[int], finish: int) -> None:
        """The best so far; the model may find something in its thread at the same moment."""
        with self.lock:
            if finish < self.finish:
                self.best, self.finish = starts, finish

    def _crossed(self, one: Sequence[int], other: Sequence[int]) -> list[int]:
        """one's order, but between two points as `other` has those that come next."""
        count = len(one)
        a, b = sorted((self.random.randrange(count + 1), self.random.randrange(count + 1)))
        child = list(one[:a])
        taken = set(child)
        for j in other:
            if len(child) >= b:
                break
            if j not in taken:
                child.append(j)
                taken.add(j)
        child += [j for j in one if j not in taken]
        return child

    def _disturbed(self, order: list[int]) -> list[int]:
        """Neighbours in the list change places now and then."""
        before = self.network.before
        for k in range(len(order) - 1):
            if self.random.random() < MUTATION:
                i, j = order[k], order[k + 1]
                if all(i != one for one, _ in before[j]):
                    order[k], order[k + 1] = j, i
        return order

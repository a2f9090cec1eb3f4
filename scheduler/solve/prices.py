"""What it costs to cross what is placed.

Everything that may be asked to make way has a price. With intervals [a, b) of
price w, a stretch from t to u crosses

    sum of w with a < u  -  sum of w with b <= t

which is a term of u less a term of t, so a sweep can weigh it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from collections.abc import Set as AbstractSet

    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.board import Board
    from scheduler.workload.primitives import Option, Use

    Interval = tuple[int, int, int]
    """Start, end (ticks) and price."""


PRICE = 10_000
"""Of a batch that has never been hard to place: more than any minutes of freshness."""


class Prices:
    """Prices of the batches on a board.

    Parameters
    ----------
    board : Board
    fails : sequence of int
        How often each batch has been hard to place.
    rigid : set of int
        Batches that may not be asked, besides what is fixed.
    salt : int
        Prices differ by chance, so that ways out of a corner differ too.
    whim : int
        Up to so much the time of a person who is free may seem to cost, by chance: who is free
        may be the only one whom others could have.
    """

    def __init__(
        self,
        board: Board,
        fails: Sequence[int],
        rigid: AbstractSet[int] = frozenset(),
        salt: int = 0,
        whim: int = 0,
    ) -> None:
        self.board = board
        self.fails = fails
        self.rigid = rigid
        self.salt = salt
        self.whim = whim
        self._known: dict[int, int | None] = {}

    def price(self, b: int) -> int | None:
        """What asking a batch to make way costs; None: it may not be asked."""
        if b not in self._known:
            free = b not in self.rigid and b not in self.board.index.pinned
            worth = PRICE * (1 + self.fails[b]) * (717 + self._chance(b) * 3 // 5) // 1024
            self._known[b] = worth if free else None
        return self._known[b] if b in self.board.placed else None

    def person(self, person: int, start: int, end: int) -> int:
        """What a person's time costs."""
        whim = self.whim * self._chance(~person) // 1024
        return whim + sum(price for _, _, price in self.hands(person, start, end))

    def _chance(self, n: int) -> int:
        """A number below 1024 that only `n` and the salt decide."""
        return (n * 2 + 1) * (2 * self.salt + 1) * 2654435761 // 128 % 1024

    def hands(self, person: int, lo: int, hi: int) -> list[Interval]:
        """What takes a person's time between two ticks and can be had for a price."""
        return [
            (a, b, price)
            for a, b, batch in self.board.spells[person]
            if a < hi and b > lo and (price := self.price(batch)) is not None
        ]

    def owner(self, use: int) -> int | None:
        """Whose leaving ends a use: who made what waits, else who takes it; None: nobody may be
        asked."""
        problem = self.board.problem
        for task in (problem.uses[use].start.task, problem.uses[use].end.task):
            if task >= 0 and self.price(problem.tasks[task].batch) is not None:
                return problem.tasks[task].batch
        return None

    def takers(
        self, option: Option, use: Use | None = None
    ) -> Iterable[tuple[int, int, int, bool]]:
        """Use, first and last tick it keeps others from, and whether it keeps out all of them.

        A taker in another state of the resource does, and for as long as the
        change of state takes; so does what `use` may not be beside, and where
        either keeps its door shut. In the same state it only counts.
        """
        index = self.board.index
        resource = self.board.problem.resources[option.resource]
        careful = option.resource in index.doors or option.resource in index.neighbours
        for n in self.board.by_resource[option.resource]:
            stay = self.board.stays[n]
            if careful and use is not None and self._keeps_out(use, n):
                yield n, stay.start, stay.end, True
            elif (
                resource.setup is None
                or option.state is None
                or stay.state is None
                or stay.state == option.state
            ):
                yield n, stay.start, stay.end, False
            else:
                before = resource.setup[option.state][stay.state]
                after = resource.setup[stay.state][option.state]
                yield n, stay.start - before, stay.end + after, True

    def _keeps_out(self, use: Use, n: int) -> bool:
        other = self.board.problem.uses[n]
        return use.shut or other.shut or use.apart(other)

    def stays(self, option: Option, amount: int, use: Use | None = None) -> list[Interval]:
        """Intervals in which `amount` of a resource is to be had for a price only.

        Where places are counted, a stretch that is full costs its cheapest taker.
        """
        capacity = self.board.problem.resources[option.resource].capacity
        found: list[Interval] = []
        counted: list[Interval] = []
        for n, start, end, apart in self.takers(option, use):
            owner = self.owner(n)
            price = None if owner is None else self.price(owner)
            if price is not None:
                alone = apart or amount + self.board.stays[n].amount > capacity
                (found if alone else counted).append((start, end, price))
        if counted:
            for start, end in _runs(self.board.used[option.resource] > capacity - amount):
                some = [w for a, b, w in counted if a < end and b > start]
                if some:
                    found.append((start, end, min(some)))
        return found


def _runs(mask: Bools) -> list[tuple[int, int]]:
    """Stretches [a, b) in which a mask is true."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], mask.view(np.int8), [0]))))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]


def toll(intervals: Sequence[Interval], lo: int, n: int) -> tuple[Ints, Ints]:
    """The term of the end and the term of the start, at `n` points from tick `lo`."""
    if not intervals:
        nothing = np.zeros(n, dtype=np.int64)
        return nothing, nothing
    start, end, price = np.array(intervals, dtype=np.int64).T
    entered = np.bincount(np.clip(start + 1 - lo, 0, n), price, n + 1)[:n]
    left = np.bincount(np.clip(end - lo, 0, n), price, n + 1)[:n]
    return np.cumsum(entered).astype(np.int64), np.cumsum(left).astype(np.int64)

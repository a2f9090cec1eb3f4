"""What the uses of a segment leave of its ends, for each choice of options.

Most choices are among equals: five ovens, all free then. Options that are blocked by the same
(mostly by nothing) get the same list of rooms, and what follows from it is worked out once
(`sweep`).
"""

from __future__ import annotations

from itertools import chain as chain_of
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import next_blocked
from scheduler.solve.careful import narrowed
from scheduler.solve.sweep import Room

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from scheduler.solve.arrays import Ints
    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain
    from scheduler.solve.manned import Manned
    from scheduler.solve.outside import Holds
    from scheduler.solve.sweep import Combo
    from scheduler.workload.primitives import Option

    Need = tuple[int, int | None, int]
    """Resource, state, amount."""
    Part = tuple[list[int], Ints]
    """Uses that must be housed, and the last end of each start otherwise."""


class Housing:
    """Rooms on the segments of one chain.

    Parameters
    ----------
    board : Board
    chain : Chain
    bounds : (list of int, list of int)
        First and last tick of every boundary.
    copies : list of int
        For each task how many loads want machines at once.
    holds : mapping
        (boundary, outward): holds to placed points.
    """

    def __init__(
        self,
        board: Board,
        chain: Chain,
        bounds: tuple[list[int], list[int]],
        copies: list[int],
        holds: Mapping[tuple[int, bool], Holds],
    ) -> None:
        self.board, self.problem, self.chain = board, board.problem, chain
        (self.low, self.high), self.copies, self.holds = bounds, copies, holds

    def rooms(
        self, segment: int, parts: Sequence[Part], combos: Sequence[Combo], ways: Sequence[Manned]
    ) -> dict[Combo, list[Room]]:
        """For each combination of options the ways to be on a segment.

        Parameters
        ----------
        parts : sequence of Part
            Different uses may have to be housed (a short wait needs no shelf).
        ways : sequence of Manned
            How the segment's task may be manned; nothing where that is in `parts`.
        """
        out: dict[Combo, list[Room]] = {}
        known: dict[tuple[tuple[Need, ...], ...], list[Room]] = {}
        untils: dict[Need, Ints | None] = {}
        for combo in combos:
            needs = [self._needs(uses, combo, segment) for uses, _ in parts]
            for need in chain_of(*needs):
                if need not in untils:
                    untils[need] = self._until(need, segment, len(parts[0][1]))
            own = self._own(chain_of(*needs))
            blocked = tuple(tuple(n for n in part if untils[n] is not None) for part in needs)
            found = None if own else known.get(blocked)
            if found is None:
                found = []
                for (uses, last), part in zip(parts, needs, strict=True):
                    ends = [until for n in part if (until := untils[n]) is not None]
                    room = Room(np.minimum.reduce([last, *ends]) if ends else last)
                    self._fit(room, uses, combo, segment)
                    found += _manned(room, ways)
            if not own:
                known[blocked] = found
            out[combo] = found
        return out

    def _own(self, needs: Iterable[Need]) -> bool:
        """Whether it matters which unit it is even where nothing stands in the way."""
        careful = self.board.index.careful
        return bool(careful) and any(resource in careful for resource, _, _ in needs)

    def _fit(self, room: Room, uses: list[int], combo: Combo, segment: int) -> None:
        """Make a room fit what uses it."""
        if self.board.index.careful:
            options = {n: self.option(n, combo) for n in uses}
            narrowed(self.board, self.chain, room, options, (self.low, self.high), segment)

    def option(self, use: int, combo: Combo) -> Option:
        """What a use takes in a combination."""
        choice = self.problem.uses[use].choice
        options = self.problem.choices[choice].options
        return options[dict(combo).get(choice, 0)]

    def _needs(self, uses: list[int], combo: Combo, segment: int) -> list[Need]:
        """What the uses take of each resource."""
        need: dict[tuple[int, int | None], int] = {}
        copies = self.copies[segment // 2] if segment % 2 == 0 else 1
        for n in uses:
            option = self.option(n, combo)
            key = (option.resource, option.state)
            amount = self.problem.uses[n].amount
            if amount * copies <= self.problem.resources[option.resource].capacity:
                amount *= copies
            need[key] = need.get(key, 0) + amount
        return [(*key, amount) for key, amount in need.items()]

    def _until(self, need: Need, segment: int, n: int) -> Ints | None:
        """From each start the first tick at which a need is not met; None: it always is."""
        resource, state, amount = need
        lo, hi = self.low[segment], self.high[segment + 1]
        full = self.board.full(resource, amount, state, lo, hi)
        extra = self._inbound(resource, segment)
        if extra is not None:
            room = self.problem.resources[resource].capacity - amount - extra
            full = full | (self.board.used[resource, lo:hi] > room)
        return lo + next_blocked(full)[:n] if bool(full.any()) else None

    def _inbound(self, resource: int, segment: int) -> Ints | None:
        """What holds that end at a later boundary of this batch already take of a resource."""
        extra: Ints | None = None
        lo, hi = self.low[segment], self.high[segment + 1]
        for (boundary, outward), holds in self.holds.items():
            if outward or boundary <= segment:
                continue
            for hold, other in holds:
                use = self.problem.uses[hold.index]
                options = self.problem.choices[use.choice].options
                if len(options) == 1 and options[0].resource == resource:
                    if extra is None:
                        extra = np.zeros(hi - lo, dtype=np.int64)
                    extra[max(0, other - lo) :] += use.amount
        return extra


def _manned(room: Room, ways: Sequence[Manned]) -> list[Room]:
    """A room for every way in which the segment's task may be manned."""
    if not ways:
        return [room]
    return [
        Room(np.minimum(room.last, way.last), way.first, room.entered, room.left, way.price)
        for way in ways
    ]

"""The backward sweep over one chain: from what each segment allows to the cheapest path.

With boundaries 0 .. 2m - 1 and a segment between each and the next,

    cost[j][t] = outside[j][t] + min over u of cost[j + 1][u] + band_j(u - t) + toll_j(t, u)

where u runs over first[t] .. last[t] of the segment. Choices that are open on
a segment multiply its table by their combinations.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF, cheapest, pick

if TYPE_CHECKING:
    from scheduler.solve.arrays import Bools, Ints
    from scheduler.workload.primitives import Band

Combo = tuple[tuple[int, int], ...]
"""Options taken for the choices open on a segment: (choice, option), in order of choice."""


@dataclass(slots=True)
class Room:
    """One way to be on a segment: from t to any u up to `last[t]`.

    With a toll it costs entered[u] - left[t] besides.
    """

    last: Ints
    entered: Ints | None = None
    left: Ints | None = None


@dataclass(slots=True)
class Segment:
    """A task, or the wait after one.

    Attributes
    ----------
    first : array of int
        For every t the earliest u.
    rooms : dict
        For each combination of options the ways to be on it; the cheapest counts.
    barred : dict
        Starts of which only these ends are allowed, or none at all.
    """

    first: Ints
    band: Band | None
    rooms: dict[Combo, list[Room]]
    barred: dict[int, Bools | None] = field(default_factory=dict)


class Sweep:
    """Tables of one chain.

    Parameters
    ----------
    segments : list of Segment
    outside : list of array of int
        For each boundary what being at t costs; INF: not allowed.
    ranges : list of (int, int)
        For each boundary the first and last t that can matter.
    reach : dict
        For each open choice the first segment and the one after the last it is open on.
    grid : int
        Minutes a tick.
    """

    def __init__(
        self,
        segments: list[Segment],
        outside: list[Ints],
        ranges: list[tuple[int, int]],
        reach: dict[int, tuple[int, int]],
        grid: int,
    ) -> None:
        self.segments = segments
        self.outside = outside
        self.ranges = ranges
        self.reach = reach
        self.grid = grid
        self.n = len(outside[0])
        self.t = np.arange(self.n, dtype=np.int64)
        self.value: list[dict[Combo, Ints]] = [{} for _ in outside]
        self.value[-1] = {(): outside[-1]}

    def run(self, upto: int) -> bool:
        """Fill cost[j] for j from `upto` down; False where all is INF."""
        for j in range(upto, -1, -1):
            segment, right = self.segments[j], self._merge(j)
            self.value[j] = {}
            a, b = self.ranges[j]
            here = slice(a, b + 1)
            t, first = self.t[here], segment.first[here]
            for combo, rooms in segment.rooms.items():
                values = right[self._shared(combo, j + 1)]
                least: Ints | None = None
                for room in rooms:
                    new = self._least(segment, room, values, t, first, here)
                    least = new if least is None else np.minimum(least, new)
                cost = np.full(self.n, INF, dtype=np.int64)
                if least is not None:
                    cost[here] = least + self.outside[j][here]
                for start, ends in segment.barred.items():
                    cost[start] = self._exactly(j, start, rooms, values, ends)
                cost[cost >= INF // 2] = INF
                self.value[j][combo] = cost
            if all(bool((v >= INF).all()) for v in self.value[j].values()):
                return False
        return True

    def _least(
        self, segment: Segment, room: Room, values: Ints, t: Ints, first: Ints, here: slice
    ) -> Ints:
        if room.entered is not None:
            values = values + room.entered
        least = cheapest(values, t, first, room.last[here], segment.band, self.grid)
        return least if room.left is None else least - room.left[here]

    def _shared(self, combo: Combo, boundary: int) -> Combo:
        """The part of a segment's combination that stays open on the next segment."""
        if boundary >= len(self.segments):
            return ()
        return tuple((c, o) for c, o in combo if self.reach[c][1] > boundary)

    def _merge(self, j: int) -> dict[Combo, Ints]:
        """cost[j + 1] per combination that segment j shares with the next; choices that begin
        there are taken at their best."""
        out: dict[Combo, Ints] = {}
        for combo, values in self.value[j + 1].items():
            key = tuple((c, o) for c, o in combo if self.reach[c][0] <= j)
            out[key] = np.minimum(out[key], values) if key in out else values
        return out

    def follow(self) -> tuple[int, list[int], list[Combo]] | None:
        """The latest cheapest path: its cost, its points, its options on each segment."""
        combo: Combo = ()
        t, best = -1, INF
        for key, values in self.value[0].items():
            i = len(values) - 1 - int(values[::-1].argmin())
            if int(values[i]) < best:
                combo, t, best = key, i, int(values[i])
        if t < 0:
            return None
        path, combos = [t], [combo]
        for j, segment in enumerate(self.segments):
            shared = self._shared(combo, j + 1)
            choice: tuple[int, int, Combo] = (INF, -1, ())
            for key, values in self.value[j + 1].items():
                if tuple((c, o) for c, o in key if self.reach[c][0] <= j) != shared:
                    continue
                ends = segment.barred.get(t)
                if ends is not None:
                    values = np.where(ends, values, INF)
                for room in segment.rooms[combo]:
                    u, cost = self._pick(segment, room, values, t)
                    if cost < choice[0]:
                        choice = (cost, u, key)
            if choice[1] < 0:
                return None
            t, combo = choice[1], choice[2]
            path.append(t)
            combos.append(combo)
        return best, path, combos

    def _pick(self, segment: Segment, room: Room, values: Ints, t: int) -> tuple[int, int]:
        if room.entered is not None:
            values = values + room.entered
        first, last = int(segment.first[t]), int(room.last[t])
        u, cost = pick(values, t, first, last, segment.band, self.grid)
        return (u, cost) if room.left is None or u < 0 else (u, cost - int(room.left[t]))

    def _exactly(self, j: int, t: int, rooms: list[Room], values: Ints, ends: Bools | None) -> int:
        """The cost of one start whose ends are known one by one."""
        if ends is None:
            return INF
        allowed = np.where(ends, values, INF)
        cost = min(self._pick(self.segments[j], room, allowed, t)[1] for room in rooms)
        return cost if cost == INF else cost + int(self.outside[j][t])

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
    """One way to be on a segment: from t to any u up to `last`, which has an entry for each t.

    With `first` not before that either, whatever the segment says. With a toll it costs
    entered[u] - left[t] besides; both begin with the first u and t there are.
    `price` is what this way costs, whatever t and u.
    """

    last: Ints
    first: Ints | None = None
    entered: Ints | None = None
    left: Ints | None = None
    price: int = 0


@dataclass(slots=True)
class Segment:
    """A task, or the wait after one.

    Attributes
    ----------
    first : array of int
        The earliest u of every t that its boundary can have.
    rooms : dict
        For each combination of options the ways to be on it; the cheapest counts. Where
        combinations have the same list, they are worked out once.
    barred : dict
        Starts of which only these ends are allowed (a mask of all there are), or none at all.
    prices : dict or None
        What each combination costs that begins here.
    rigid : bool
        There is one u for every t, `first`: the k-th tick of its boundary leads to the k-th of
        the next.
    """

    first: Ints
    band: Band | None
    rooms: dict[Combo, list[Room]]
    barred: dict[int, Bools | None] = field(default_factory=dict)
    prices: dict[Combo, int] | None = None
    rigid: bool = False


class Sweep:
    """Tables of one chain.

    Parameters
    ----------
    segments : list of Segment
    outside : list of array of int
        For each boundary what being at t costs; INF: not allowed.
    ranges : list of (int, int)
        For each boundary the first and last tick it can have.
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
        self.value: list[dict[Combo, Ints]] = [{} for _ in outside]
        self.value[-1] = {(): outside[-1]}

    def run(self, upto: int) -> bool:
        """Fill cost[j] for j from `upto` down; False where all is INF."""
        for j in range(upto, -1, -1):
            segment, right = self.segments[j], self._merge(j)
            self.value[j] = {}
            known: dict[tuple[int, int], Ints] = {}
            for combo, rooms in segment.rooms.items():
                values = right[self._shared(combo, j + 1)]
                alike = id(rooms), id(values)
                if alike not in known:
                    known[alike] = self._cost(j, rooms, values)
                cost = known[alike]
                if segment.prices is not None and segment.prices[combo]:
                    cost = np.where(cost >= INF, INF, cost + segment.prices[combo])
                self.value[j][combo] = cost
            if all(int(v.min()) >= INF for v in known.values()):
                return False
        return True

    def _cost(self, j: int, rooms: list[Room], values: Ints) -> Ints:
        """cost[j] for one way to be on the segment and what comes after."""
        segment = self.segments[j]
        cost = self._least(j, rooms[0], values)
        for room in rooms[1:]:
            cost = np.minimum(cost, self._least(j, room, values))
        cost = cost + self.outside[j]
        for start, ends in segment.barred.items():
            cost[start - self.ranges[j][0]] = self._exactly(j, start, rooms, values, ends)
        cost[cost >= INF // 2] = INF
        return cost

    def _least(self, j: int, room: Room, values: Ints) -> Ints:
        segment, (a, b), begin = self.segments[j], self.ranges[j], self.ranges[j + 1][0]
        if room.entered is not None:
            values = values + room.entered
        if segment.rigid:
            least = _rigid(segment, room, values, (begin - a) * self.grid)
        else:
            t = np.arange(a - begin, b + 1 - begin, dtype=np.int64)
            first = segment.first if room.first is None else np.maximum(segment.first, room.first)
            first, last = first - begin, room.last - begin
            least = cheapest(values, t, first, last, segment.band, self.grid)
        if room.price:
            least = least + room.price
        return least if room.left is None else least - room.left

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
            if key not in out:
                out[key] = values
            elif out[key] is not values:
                out[key] = np.minimum(out[key], values)
        return out

    def follow(self) -> tuple[int, list[int], list[Combo]] | None:
        """The latest cheapest path: its cost, its points, its options on each segment."""
        combo: Combo = ()
        t, best = -1, INF
        for key, values in self.value[0].items():
            i = len(values) - 1 - int(values[::-1].argmin())
            if int(values[i]) < best:
                combo, t, best = key, i + self.ranges[0][0], int(values[i])
        if t < 0:
            return None
        path, combos = [t], [combo]
        for j, segment in enumerate(self.segments):
            shared = self._shared(combo, j + 1)
            choice: tuple[int, int, Combo] = (INF, -1, ())
            seen: set[int] = set()
            for key, values in self.value[j + 1].items():
                mine = tuple((c, o) for c, o in key if self.reach[c][0] <= j)
                if mine != shared or id(values) in seen:
                    continue
                seen.add(id(values))
                ends = segment.barred.get(t)
                if ends is not None:
                    values = np.where(ends, values, INF)
                for room in segment.rooms[combo]:
                    u, cost = self._pick(j, room, values, t)
                    if cost < choice[0]:
                        choice = (cost, u, key)
            if choice[1] < 0:
                return None
            t, combo = choice[1], choice[2]
            path.append(t)
            combos.append(combo)
        return best, path, combos

    def _pick(self, j: int, room: Room, values: Ints, t: int) -> tuple[int, int]:
        segment, i, begin = self.segments[j], t - self.ranges[j][0], self.ranges[j + 1][0]
        if room.entered is not None:
            values = values + room.entered
        first, last = int(segment.first[i]), int(room.last[i]) - begin
        first = (first if room.first is None else max(first, int(room.first[i]))) - begin
        u, cost = pick(values, t - begin, first, last, segment.band, self.grid)
        if u < 0:
            return u, cost
        cost += room.price
        return u + begin, cost if room.left is None else cost - int(room.left[i])

    def _exactly(self, j: int, t: int, rooms: list[Room], values: Ints, ends: Bools | None) -> int:
        """The cost of one start whose ends are known one by one."""
        if ends is None:
            return INF
        allowed = np.where(ends, values, INF)
        cost = min(self._pick(j, room, allowed, t)[1] for room in rooms)
        return cost if cost == INF else cost + int(self.outside[j][t - self.ranges[j][0]])


def _rigid(segment: Segment, room: Room, values: Ints, minutes: int) -> Ints:
    """What `cheapest` says of a rigid segment: no range to search."""
    ok = room.last >= segment.first
    if room.first is not None:
        ok &= room.first <= segment.first
    least = np.where(ok, values, INF)
    return least if segment.band is None else least + segment.band.cost(minutes)

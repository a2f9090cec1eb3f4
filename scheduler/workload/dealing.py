"""Dealing out a limit on a sum: how long each of many lengths may be, so that every path keeps it.

Pure figures: points, arcs between them that take a fixed length or one in a range, and how much
may have come together at a point. Time out of temperature control is dealt out so.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(slots=True)
class Room:
    """A length that may be cut: from `least` to `most` ticks.

    Attributes
    ----------
    good : int or None
        Beyond that it is not as good; None: all of it is.
    soon : bool
        What is beyond may go before others lose anything.
    """

    least: int
    most: int
    good: int | None = None
    soon: bool = False

    @property
    def best(self) -> int:
        """`good` within the range."""
        return self.most if self.good is None else max(self.least, min(self.good, self.most))

    def turns(self) -> tuple[Room, Room, Room]:
        """What may be cut at first, where that is not enough, and where that is not either."""
        beyond = Room(self.best, self.most)
        return (
            beyond if self.soon else Room(self.most, self.most),
            beyond,
            Room(self.least, self.best),
        )


@dataclass(frozen=True, slots=True)
class Arc:
    """From one point to another: `fixed` ticks, and those of a room (its place)."""

    start: int
    end: int
    fixed: int = 0
    room: int | None = None


NEVER = -(1 << 60)


class Net:
    """Points in an order in which arcs go, each with how much may have come together there.

    `limits`: of each point, or None.
    """

    def __init__(
        self, limits: Sequence[int | None], arcs: Iterable[Arc], rooms: Sequence[Room]
    ) -> None:
        self.limits, self.rooms = limits, rooms
        self.arcs = sorted(arcs, key=lambda a: a.start)

    def most(self, rooms: Sequence[int]) -> list[int]:
        """The most that can come together at each point, with rooms of these lengths."""
        found = [0] * len(self.limits)
        for arc in self.arcs:
            reached = found[arc.start] + self._length(arc, rooms, 1)
            found[arc.end] = max(found[arc.end], reached)
        return found

    def dealt(self) -> list[int]:
        """How long each room may be: no path comes to more than a limit, if its least do not.

        Of all rooms on paths that could come to too much, each gets the same part of its range,
        as much as goes; where that meets a limit, they stay, and the others get more of theirs,
        until nothing can get any more. Parts are rounded down. What is not as good is cut first
        (`Room.turns`).
        """
        longest = [r.most for r in self.rooms]
        turns = list(zip(*(r.turns() for r in self.rooms), strict=True))
        for some in self._apart(self.over(longest)):
            group = Net(self.limits, some, self.rooms)
            for rooms in turns:
                net = Net(self.limits, some, rooms)
                if rooms is turns[-1] or not net.over([r.least for r in rooms]):
                    net.fill(longest)
                    break
            group.lengthen(longest)
        return longest

    def lengthen(self, longest: list[int]) -> None:
        """Give what is left to whoever can have it, one room after the other."""
        for r in dict.fromkeys(a.room for a in self.arcs if a.room is not None):
            longest[r] += min(self.rooms[r].most - longest[r], self._left(r, longest))

    def over(self, rooms: Sequence[int] | None = None) -> list[Arc]:
        """Arcs on a path that comes to too much with rooms of these lengths (or their most)."""
        rooms = [r.most for r in self.rooms] if rooms is None else rooms
        before, after = self._both(rooms, 1)
        return [
            arc
            for arc in self.arcs
            if before[arc.start] + self._length(arc, rooms, 1) + after[arc.end] > 0
        ]

    def _apart(self, arcs: list[Arc]) -> list[list[Arc]]:
        """Arcs in groups that have no point and no room in common."""
        group: dict[object, object] = {}

        def head(of: object) -> object:
            while group.setdefault(of, of) != of:
                of = group[of]
            return of

        for arc in arcs:
            group[head(arc.end)] = head(arc.start)
            if arc.room is not None:
                group[head((arc.room,))] = head(arc.start)
        found: dict[object, list[Arc]] = {}
        for arc in arcs:
            found.setdefault(head(arc.start), []).append(arc)
        return list(found.values())

    def fill(self, longest: list[int]) -> None:
        """Settle the rooms of a group of arcs; all lie on paths that would come to too much."""
        mine = dict.fromkeys(a.room for a in self.arcs if a.room is not None)
        free = [r for r in mine if self.rooms[r].most > self.rooms[r].least]
        for r in mine:
            longest[r] = self.rooms[r].least
        while free:
            p, q = self._part(longest, free)
            if p < 0:
                return  # Too much whatever the lengths: all stay at their least.
            scaled = [q * n for n in longest]
            for r in free:
                room = self.rooms[r]
                scaled[r] = q * room.least + p * (room.most - room.least)
            before, after = self._both(scaled, q)
            full = {
                arc.room
                for arc in self.arcs
                if before[arc.start] + self._length(arc, scaled, q) + after[arc.end] >= 0
            }
            done = free if p == q else [r for r in free if r in full]
            for r in done:
                longest[r] = scaled[r] // q
            free = [r for r in free if r not in done]

    def _left(self, r: int, rooms: list[int]) -> int:
        """By how much a room could be longer, the others as they are."""
        before, after = self._both(rooms, 1)
        return max(
            0,
            -max(
                before[a.start] + self._length(a, rooms, 1) + after[a.end]
                for a in self.arcs
                if a.room == r
            ),
        )

    def _part(self, settled: list[int], free: list[int]) -> tuple[int, int]:
        """The largest part p / q of their ranges that all free rooms can have; -1: not even 0."""
        p, q, growing = 1, 1, set(free)
        while True:
            scaled = [q * n for n in settled]
            for r in free:
                room = self.rooms[r]
                scaled[r] = q * room.least + p * (room.most - room.least)
            path, limit = self._worst(scaled, q)
            if not path:
                return p, q
            least = sum(a.fixed + (0 if a.room is None else settled[a.room]) for a in path)
            spread = sum(
                self.rooms[a.room].most - self.rooms[a.room].least
                for a in path
                if a.room is not None and a.room in growing
            )
            if limit < least or not spread:
                return -1, 1
            p, q = limit - least, spread

    def _worst(self, rooms: Sequence[int], scale: int) -> tuple[list[Arc], int]:
        """The path that comes to most above its limit, and that limit; empty if none does."""
        found = [0] * len(self.limits)
        by: list[Arc | None] = [None] * len(self.limits)
        for arc in self.arcs:
            reached = found[arc.start] + self._length(arc, rooms, scale)
            if reached > found[arc.end]:
                found[arc.end], by[arc.end] = reached, arc
        worst, at = max(
            ((found[n] - scale * m, n) for n, m in enumerate(self.limits) if m is not None),
            default=(0, 0),
        )
        path: list[Arc] = []
        limit = self.limits[at] or 0
        while worst > 0 and (last := by[at]) is not None:
            path.append(last)
            at = last.start
        return path, limit

    def _both(self, rooms: Sequence[int], scale: int) -> tuple[list[int], list[int]]:
        """Of each point: the most before it, and the most after it less the limit it meets."""
        before = [0] * len(self.limits)
        for arc in self.arcs:
            reached = before[arc.start] + self._length(arc, rooms, scale)
            before[arc.end] = max(before[arc.end], reached)
        after = [NEVER if most is None else -scale * most for most in self.limits]
        for arc in reversed(self.arcs):
            then = self._length(arc, rooms, scale) + after[arc.end]
            after[arc.start] = max(after[arc.start], then)
        return before, after

    @staticmethod
    def _length(arc: Arc, rooms: Sequence[int], scale: int) -> int:
        return scale * arc.fixed + (0 if arc.room is None else rooms[arc.room])

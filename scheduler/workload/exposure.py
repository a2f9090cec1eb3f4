"""Time out of temperature control: waits and ranges that can never come to too much together.

The way of food to the last plate away is a net of points (`out.py`); the limit is dealt out on it
beforehand (`dealing.py`), so engines see shorter waits.
"""

from __future__ import annotations

from dataclasses import replace
from graphlib import TopologicalSorter
from typing import TYPE_CHECKING

from scheduler.domain.exposed import OWN_READING
from scheduler.domain.profiles import controlled
from scheduler.domain.times import write_duration
from scheduler.workload.dealing import Arc, Net
from scheduler.workload.out import Node, Ways

if TYPE_CHECKING:
    from scheduler.domain.limits import Within
    from scheduler.workload.builder import Builder


def add_exposure(b: Builder) -> None:
    """Cut the waits, holds and ranges in which controlled food is out, so that its limit is kept.

    Of food of one batch: minutes out in all <= the profile's `exposure`, to the last plate away;
    <= its `rechill` where it goes into the cold; of that since it was hot, with no time in the
    cold between, <= its `exposure_hot`. What is out for too long however quickly it goes is a
    complaint.
    """
    rules = b.exposing
    if rules.limit is None or not any(controlled(c) for c in b.scenario.components):
        return
    ways = _Dealing(b, rules, rules.limit.most)
    ways.walk()
    ways.settle()


class _Dealing(Ways):
    """The net of a week, and the limits dealt out on it."""

    def settle(self) -> None:
        """Deal out, and cut."""
        points = self._in_order()
        limits: list[int | None] = [self.limit] * len(points)
        if self.hot is not None:
            limits += [self.b.down(self.hot.most)] * len(points)
        found = self._net(points, limits).most([r.least for r in self.rooms])
        self._out_too_long(points, found)
        for point, link, waits in self.chilled if self.back is not None else ():
            at = points[point]
            if self.back is None or found[at] <= self.back:
                limits[at] = self.back
            elif waits and link is not None:
                self._nearer(link)(0)  # It may not go back into the cold: it is used at once.
            elif self.rules.back is not None:
                self._say(self.where.get(point, ""), found[at], self.rules.back, "go into the cold")
        self._stand(points, limits)
        for n, most in enumerate(self._net(points, limits).dealt()):
            if most < self.rooms[n].most:
                self.cut[n](most)

    def _in_order(self) -> dict[Node, int]:
        """Every point, those before it first."""
        before: dict[Node, set[Node]] = {}
        for start, end, _, _ in self.arcs:
            before.setdefault(end, set()).add(start)
            before.setdefault(start, set())
        for point, _, _ in self.chilled:
            before.setdefault(point, set())
        return {p: n for n, p in enumerate(TopologicalSorter(before).static_order())}

    def _net(self, points: dict[Node, int], limits: list[int | None]) -> Net:
        """Time out; and behind it, for what has been hot, the same points once more."""
        arcs = [Arc(points[s], points[e], fixed, room) for s, e, fixed, room in self.arcs]
        if self.hot is not None:
            arcs += self._since_hot(points)
        return Net(limits, arcs, self.rooms)

    def _since_hot(self, points: dict[Node, int]) -> list[Arc]:
        """Arcs behind a hot one or what was cooked, as far as the next stay in the cold."""
        hot, found = {points[node] for node in self.heated if node in points}, []
        arcs = zip(self.arcs, self.kept, strict=True)
        for (start, end, fixed, room), kept in sorted(arcs, key=lambda a: points[a[0][0]]):
            at, to = points[start], points[end]
            if at in hot and kept in ("out", "hot"):
                found.append(Arc(at + len(points), to + len(points), fixed, room))
                hot.add(to)
            elif kept == "hot":
                hot.add(to)
        return found

    def _stand(self, points: dict[Node, int], limits: list[int | None]) -> None:
        """A wait in the cold or the heat that is so short that it needs no shelf counts as out.

        Where that could come to too much it stands on its shelf all the same.
        """
        plain = list(self.arcs)
        for at, so_long, _ in self.brief:
            self.arcs[at] = (*plain[at][:2], so_long, None)
        kept = list(self.kept)
        for at, _, _ in self.brief:
            self.kept[at] = "out"
        n = len(points)
        over = (
            {(a.start % n, a.end % n) for a in self._net(points, limits).over()}
            if self.brief
            else ()
        )
        for at, _, uses in self.brief:
            start, end, _, _ = plain[at]
            if (points[start], points[end]) in over:
                self.arcs[at], self.kept[at] = plain[at], kept[at]
                for use in uses:
                    self.b.uses[use] = replace(self.b.uses[use], grace=0)

    # -- saying ----------------------------------------------------------------------

    def _out_too_long(self, points: dict[Node, int], found: list[int]) -> None:
        """What is out too long at its shortest: of what feeds something else, that alone."""
        for limit, behind, since in (
            (self.rules.limit, 0, ""), (self.hot, len(points), " since it was hot"),
        ):  # fmt: skip
            if limit is None:
                continue
            out: dict[str, int] = {}
            for point, at in points.items():
                if found[at + behind] > self.b.down(limit.most) and point in self.where:
                    name = self.where[point]
                    out[name] = max(out.get(name, 0), found[at + behind])
            feeding = {s.source for s in self.b.work.shares if s.consumer in out}
            for name, ticks in out.items():
                if name not in feeding:
                    self._say(name, ticks, limit, "be used", since)

    def _say(self, name: str, ticks: int, limit: Within, what: str, since: str = "") -> None:
        least = f"{write_duration(ticks * self.b.grid)} at least{since}"
        again = f"; {OWN_READING}" if self._again(name) and not since else ""
        self.b.complaints.add(
            name,
            f"out of temperature control for {least}; {limit.over} it may not {what} "
            f"({limit.source}){again}",
            "shorter work at the bench, or a wait in the cold",
        )

    def _again(self, name: str) -> bool:
        """Has a hot core started the sum again in a batch, or in what feeds it?"""
        seen, look = {name}, [name]
        while look:
            here = look.pop()
            if here in self.anew:
                return True
            more = {s.source for s in self.b.work.shares if s.consumer == here} - seen
            seen |= more
            look += more
        return False

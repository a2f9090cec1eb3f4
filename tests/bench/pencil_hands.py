"""Whose hands: crews, tending and adding for tasks whose times are known."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from scheduler.workload.primitives import Add, Line, Placed, Tend
from tests.bench.pencil import Pencil
from tests.bench.pencil_touch import Touch

Pick = Callable[[int, int, int], tuple[float, ...]]
"""(person, start, end) -> key: people in order of preference."""


class Hands:
    """Finds people on a pencil plan."""

    def __init__(self, pencil: Pencil, touch: Touch) -> None:
        self.pencil, self.touch = pencil, touch

    def man(self, tasks: tuple[int, ...], pick: Pick) -> bool:
        """Hands for all that is done in these tasks; False where somebody lacks."""
        pencil = self.pencil
        for t in tasks:
            start, end = pencil.times[t]
            for n, crew in self.touch.crews[t]:
                people = self._people(crew.ways[0].lines, start, end, pick)
                if people is None:
                    return False
                pencil.work(people, start, end)
                pencil.hold(pencil.crews, n, people)
            busy: list[tuple[int, int]] = []
            for n, add in self.touch.adds[t]:
                window = range(start + add.least, min(start + add.most, end - add.length) + 1)
                mid = (start + add.least + start + add.most) // 2
                placed = self._first(add, outward(window, mid), busy, pick)
                if placed is None:
                    return False
                pencil.hold(pencil.adds, n, placed)
            for n, tend in self.touch.tends[t]:
                visits = self._tend(tend, start, end, busy, pick)
                if visits is None:
                    return False
                pencil.hold(pencil.tends, n, visits)
        return True

    def _tend(
        self, tend: Tend, start: int, end: int, busy: list[tuple[int, int]], pick: Pick
    ) -> tuple[Placed, ...] | None:
        visits: list[Placed] = []
        if tend.gap is None:
            for a, b in tend.windows:
                if start <= a and b <= end:
                    placed = self._first(tend, range(a, b - tend.length + 1), busy, pick)
                    if placed is None:
                        return None
                    visits.append(placed)
            return tuple(visits)
        least, most = tend.gap
        at = start - tend.since
        while at + most < end:
            window = range(max(start, at + least), min(at + most, end - tend.length) + 1)
            mid = at + (least + most + 1) // 2
            placed = self._first(tend, outward(window, mid), busy, pick)
            if placed is None:
                return None
            visits.append(placed)
            at = placed.end
        return tuple(visits)

    def _first(
        self, item: Tend | Add, window: Iterable[int], busy: list[tuple[int, int]], pick: Pick
    ) -> Placed | None:
        """The first moment of a window at which a visit can be made."""
        window = list(window)
        if not window:
            return None
        until = self.pencil.manned_until(item.lines)
        for v in window:
            end = v + item.length
            if until[v] < end or any(a < end and v < b for a, b in busy):
                continue
            if any(
                bool((self.pencil.used[u.resource, v:end] + u.amount
                      > self.pencil.room(u.resource)).any())
                for u in item.uses
            ):  # fmt: skip
                continue
            people = self._people(item.lines, v, end, pick)
            if people is not None:
                self.pencil.work(people, v, end)
                self.pencil.visit(item.uses, v, end)
                busy.append((v, end))
                return Placed(v, end, people)
        return None

    def _people(
        self, lines: tuple[Line, ...], start: int, end: int, pick: Pick
    ) -> tuple[int, ...] | None:
        """Distinct people for all lines, the preferred ones where they can."""
        pencil = self.pencil
        slots = [line for line in lines for _ in range(line.count)]
        ranked = [
            sorted(
                (p for p in line.people if pencil.free_until(p)[start] >= end),
                key=lambda p: pick(p, start, end),
            )
            for line in slots
        ]
        return seated(ranked)


def outward(window: range, middle: int) -> list[int]:
    """The moments of a window, those next to its middle first."""
    return sorted(window, key=lambda v: abs(v - middle))


def seated(ranked: list[list[int]]) -> tuple[int, ...] | None:
    """One of each list, all different, early ones preferred; None where that cannot be."""
    holder: dict[int, int] = {}

    def seat(i: int, seen: set[int]) -> bool:
        for p in ranked[i]:
            if p not in seen:
                seen.add(p)
                if p not in holder or seat(holder[p], seen):
                    holder[p] = i
                    return True
        return False

    for i in sorted(range(len(ranked)), key=lambda i: len(ranked[i])):
        if not seat(i, set()):
            return None
    found = {i: p for p, i in holder.items()}
    return tuple(found[i] for i in range(len(ranked)))


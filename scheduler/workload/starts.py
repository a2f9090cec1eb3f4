"""When a task could start by the people and the house alone, everything else aside.

Each answer is a list of inclusive stretches of start ticks that certainly
holds every possible start (it may hold impossible ones).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from scheduler.workload.primitives import Add, Line, Problem, Task, Tend

Stretches = tuple[tuple[int, int], ...]
"""Disjoint inclusive stretches of ticks, in order."""


@dataclass(frozen=True, slots=True)
class Nobody:
    """Why a task cannot start anywhere in its window.

    Attributes
    ----------
    kind : str
        hands, tending, window, adding or house.
    lines : tuple of Line
        Whose hands are meant.
    length : int
        Ticks they are needed for.
    gap : (int, int) or None
        For tending: the stretch that nobody can bridge.
    """

    kind: str
    lines: tuple[Line, ...] = ()
    length: int = 0
    gap: tuple[int, int] | None = None


def joined(stretches: Iterable[tuple[int, int]]) -> Stretches:
    """The union of inclusive stretches; neighbours become one."""
    out: list[tuple[int, int]] = []
    for a, b in sorted(s for s in stretches if s[0] <= s[1]):
        if out and a <= out[-1][1] + 1:
            out[-1] = (out[-1][0], max(out[-1][1], b))
        else:
            out.append((a, b))
    return tuple(out)


def common(one: Stretches, other: Stretches) -> Stretches:
    """What lies in both."""
    out: list[tuple[int, int]] = []
    i = j = 0
    while i < len(one) and j < len(other):
        a, b = max(one[i][0], other[j][0]), min(one[i][1], other[j][1])
        if a <= b:
            out.append((a, b))
        if one[i][1] < other[j][1]:
            i += 1
        else:
            j += 1
    return tuple(out)


def outside(stretches: Stretches, low: int, high: int) -> Stretches:
    """What lies in low .. high but in none of them."""
    out: list[tuple[int, int]] = []
    at = low
    for a, b in stretches:
        if a > at:
            out.append((at, min(a - 1, high)))
        at = max(at, b + 1)
    if at <= high:
        out.append((at, high))
    return tuple(s for s in out if s[0] <= s[1])


def _less(spans: Stretches, holes: list[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Half-open stretches less some others, in order."""
    for a, b in spans:
        for start, end in holes:
            if a < end and start < b:
                if a < start:
                    yield a, start
                a = max(a, end)
        if a < b:
            yield a, b


class Starts:
    """Possible starts of the tasks of a problem, worked out once for equal hands and lengths."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._crews: dict[tuple[tuple[Line, ...], int, bool], Stretches] = {}
        self._tasks: dict[int, tuple[Stretches, Nobody | None]] = {}

    @cached_property
    def _items(self) -> dict[int, list[tuple[str, int]]]:
        """What hangs on each task: (crews | tends | adds, place)."""
        found: dict[int, list[tuple[str, int]]] = {}
        for kind in ("crews", "tends", "adds"):
            for n, item in enumerate(getattr(self.problem, kind)):
                found.setdefault(item.task, []).append((kind, n))
        return found

    @cached_property
    def _between_breaks(self) -> tuple[Stretches, ...]:
        """Each person's stretches [a, b), less the breaks of theirs that do not move."""
        problem = self.problem
        breaks: dict[int, list[tuple[int, int]]] = {}
        for crew in problem.crews:
            task = problem.tasks[crew.task]
            if crew.rest and task.latest - task.earliest == task.least:
                [person] = crew.ways[0].lines[0].people
                breaks.setdefault(person, []).append((task.earliest, task.latest))
        return tuple(
            tuple(_less(spans, sorted(breaks[p]))) if p in breaks else spans
            for p, (_, spans) in enumerate(problem.people)
        )

    def crew(
        self, lines: tuple[Line, ...], length: int, through: bool = False
    ) -> Stretches:
        """Starts at which enough people are there for `length`, line by line and in all.

        `through`: a break of theirs may lie in between.
        """
        key = (lines, length, through)
        if key not in self._crews:
            every = tuple(sorted({p for line in lines for p in line.people}))
            asked = [(line.people, line.count) for line in lines]
            if len(lines) > 1:
                asked.append((every, sum(line.count for line in lines)))
            found: Stretches = ((0, self.problem.horizon),)
            for people, count in asked:
                found = common(found, self._enough(people, count, length, through))
            self._crews[key] = found
        return self._crews[key]

    def _enough(
        self, people: tuple[int, ...], count: int, length: int, through: bool
    ) -> Stretches:
        spans = [
            (a, b - length)
            for p in people
            for a, b in (self.problem.people[p][1] if through else self._between_breaks[p])
            if b - a >= length
        ]
        if count == 1:
            return joined(spans)
        edges = sorted([(a, 1) for a, _ in spans] + [(b + 1, -1) for _, b in spans])
        out: list[tuple[int, int]] = []
        there, since = 0, 0
        for at, step in edges:
            before, there = there, there + step
            if before < count <= there:
                since = at
            elif there < count <= before:
                out.append((since, at - 1))
        return joined(out)

    def task(self, t: int) -> tuple[Stretches, Nobody | None]:
        """Possible starts of a task in its own window; why there are none."""
        if t not in self._tasks:
            task = self.problem.tasks[t]
            self._tasks[t] = self.between(t, task.earliest, task.latest - task.least)
        return self._tasks[t]

    def between(self, t: int, low: int, high: int) -> tuple[Stretches, Nobody | None]:
        """Possible starts of a task from low to high; why there are none."""
        task = self.problem.tasks[t]
        found: Stretches = ((low, high),)
        if low > high:
            return (), None
        if task.within is not None:
            house = joined((a, b - task.least) for a, b in task.within)
            found = common(found, house)
            if not found:
                return found, Nobody("house", (), task.least)
        for kind, n in self._items.get(t, ()):
            before = found
            if kind == "crews":
                crew = self.problem.crews[n]
                ways = [(way.lines, max(task.least, way.least)) for way in crew.ways]
                over = (crew.leave is not None and crew.leave.breaks) or crew.rest
                each = (self.crew(*way, through=over) for way in ways)
                found = common(found, joined(s for some in each for s in some))
                lines, length = min(ways, key=lambda way: way[1])
                why = Nobody("hands", lines, length)
            elif kind == "tends":
                found, why = self._tend(task, self.problem.tends[n], found)
            else:
                add = self.problem.adds[n]
                found = common(found, self._add(add))
                why = Nobody("adding", add.lines, add.length)
            if before and not found:
                return found, why
        return found, None

    def _add(self, add: Add) -> Stretches:
        """s such that somebody can come between s + least and s + most."""
        return joined((a - add.most, b - add.least) for a, b in self.crew(add.lines, add.length))

    def _tend(self, task: Task, tend: Tend, found: Stretches) -> tuple[Stretches, Nobody]:
        """Starts from which no stretch without anybody has to be bridged.

        Between the last possible start b of one stretch of visits and the
        first a of the next, a task may not last from before a - most (less
        what passed since its last visit) to after b + length + most.

        Of several such stretches the one is named that bars most of what was
        possible so far, and of it no more than lies beside that.
        """
        there = self.crew(tend.lines, tend.length)
        low, high = -self.problem.horizon, self.problem.horizon
        barred: list[tuple[int, int]] = []
        gaps: list[tuple[int, int]] = []
        if tend.gap is None:
            for a, b in tend.windows:
                if not any(x <= b - tend.length and y >= a for x, y in there):
                    barred.append((b - task.least, a))
                    gaps.append((a, b))
            kind = "window"
        else:
            kind = "tending"
            most = tend.gap[1]
            if task.least > most - tend.since:
                ends = [low - task.least, *(b + tend.length for _, b in there)]
                begins = [*(a for a, _ in there), high + task.least + most]
                for b, a in zip(ends, begins, strict=True):
                    if a - b > most:
                        barred.append((b + most - task.least + 1, a - most + tend.since - 1))
                        gaps.append((b, a))
        free = outside(joined(barred), low, high)
        gap = None
        if gaps and found:
            sizes = [_size(common(found, (x,))) if x[0] <= x[1] else 0 for x in barred]
            b, a = gaps[sizes.index(max(sizes))]
            gap = (b, a) if kind == "window" else _beside(b, a, found, task.least)
        return common(found, free), Nobody(kind, tend.lines, tend.length, gap)


def _size(stretches: Stretches) -> int:
    return sum(b - a + 1 for a, b in stretches)


def _beside(b: int, a: int, found: Stretches, least: int) -> tuple[int, int]:
    """As much of b .. a as a task may lie in that starts in `found`."""
    first, last = max(0, b, found[0][0]), min(a, found[-1][1] + least)
    return (first, last) if first < last else (max(0, b), a)

"""Earliest and latest of every task, by propagating what binds them to a fixpoint."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import deque
from collections.abc import Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.workload.primitives import HORIZON_START
from scheduler.workload.starts import Starts

if TYPE_CHECKING:
    from scheduler.workload.primitives import Point, Problem
    from scheduler.workload.starts import Stretches

FAR = 1 << 40


@dataclass(frozen=True, slots=True)
class Windows:
    """Bounds of every task in ticks.

    Attributes
    ----------
    earliest, latest : tuple of int
        First and last possible start.
    earliest_end, latest_end : tuple of int
    stuck : int or None
        The task at which the bounds met; None where there is room for all.
        Bounds are then as they stood at that moment.
    cycle : tuple of int
        Tasks of a circle of links that cannot all hold; empty: no circle.
    """

    earliest: tuple[int, ...]
    latest: tuple[int, ...]
    earliest_end: tuple[int, ...]
    latest_end: tuple[int, ...]
    stuck: int | None = None
    cycle: tuple[int, ...] = ()


def windows(
    problem: Problem, without: Collection[int] = (), starts: Starts | None = None
) -> Windows:
    """Windows of all tasks.

    Propagates start + least <= end <= start + most, before + least <= after
    <= before + most, earliest, latest, and starts at which enough eligible
    people are there (or somebody is in the house). Sound: every placement of
    all batches together lies inside.

    Parameters
    ----------
    without : collection of int
        Batches left out; their tasks keep their own windows.
    """
    net = Net(problem, starts or Starts(problem))
    gone = set(without)
    bounds = net.tighten([b for b in range(len(problem.batches)) if b not in gone])
    tasks = range(len(problem.tasks))
    return Windows(
        tuple(bounds.lo[2 * t] for t in tasks), tuple(bounds.hi[2 * t] for t in tasks),
        tuple(bounds.lo[2 * t + 1] for t in tasks), tuple(bounds.hi[2 * t + 1] for t in tasks),
        bounds.stuck, bounds.cycle,
    )


@dataclass(slots=True)
class Bounds:
    """Earliest and latest time of every point (2 t: start of task t, 2 t + 1: its end)."""

    lo: list[int]
    hi: list[int]
    stuck: int | None = None
    cycle: tuple[int, ...] = ()


class Net:
    """The links of a problem as arcs, propagated over any set of its batches.

    Points are 2 t (start of task t), 2 t + 1 (its end), and two more for the
    ends of the horizon. An arc (u, v, w) says time(v) >= time(u) + w.
    """

    def __init__(self, problem: Problem, starts: Starts) -> None:
        self.problem = problem
        self.starts = starts
        self.n = 2 * len(problem.tasks)
        self.out: list[list[tuple[int, int]]] = [[] for _ in range(self.n + 2)]
        self.into: list[list[tuple[int, int]]] = [[] for _ in range(self.n + 2)]
        for t, task in enumerate(problem.tasks):
            self._arc(2 * t, 2 * t + 1, task.least)
            self._arc(2 * t + 1, 2 * t, -task.most)
        for link in problem.links:
            u, v = self._node(link.before), self._node(link.after)
            if link.least is not None:
                self._arc(u, v, link.least)
            if link.most is not None:
                self._arc(v, u, -link.most)

    def _arc(self, u: int, v: int, w: int) -> None:
        self.out[u].append((v, w))
        self.into[v].append((u, w))

    def _node(self, point: Point) -> int:
        if point.task < 0:
            return self.n + (point.task != HORIZON_START)
        return 2 * point.task + point.end

    def with_fixed(self, batches: Collection[int]) -> list[int]:
        """Batches with the fixed moments that links tie them to."""
        found = set(batches)
        tasks = [t for b in batches for t in self.problem.batches[b].tasks]
        for u in (point for t in tasks for point in (2 * t, 2 * t + 1)):
            for v, _ in (*self.out[u], *self.into[u]):
                if v < self.n:
                    other = self.problem.tasks[v // 2].batch
                    if self.problem.batches[other].fixed:
                        found.add(other)
        return sorted(found)

    def tighten(
        self,
        batches: Collection[int],
        *,
        deadlines: bool = True,
        people: bool = True,
        backwards: bool = False,
    ) -> Bounds:
        """Bounds for some batches.

        Parameters
        ----------
        deadlines : bool
            False: fixed moments and the end of the horizon bound nothing from
            above, so that `lo` says when everything could be at the earliest.
        people : bool
            False: nobody's hours are looked at.
        backwards : bool
            Only `hi`, walking back from the deadlines: nothing is too early. Stuck
            only where the walk goes round in a circle.
        """
        problem = self.problem
        lo = [0] * (self.n + 2)
        hi = [problem.horizon] * (self.n + 2)
        lo[self.n + 1] = problem.horizon
        hi[self.n] = 0
        if not deadlines:
            hi[self.n + 1] = FAR
        inside = bytearray(self.n + 2)
        inside[self.n] = inside[self.n + 1] = 1
        allowed: dict[int, Stretches] = {}
        queue: deque[int] = deque((self.n, self.n + 1))
        for b in batches:
            fixed = problem.batches[b].fixed
            for t in problem.batches[b].tasks:
                task = problem.tasks[t]
                s = 2 * t
                inside[s] = inside[s + 1] = 1
                lo[s] = 0 if fixed and not deadlines else task.earliest
                lo[s + 1] = lo[s] + task.least
                hi[s + 1] = task.latest if deadlines else FAR
                hi[s] = hi[s + 1] - task.least
                queue += (s, s + 1)
                if people and not fixed:
                    allowed[s] = self.starts.task(t)[0]
        if backwards:
            lo = [-FAR] * (self.n + 2)
        stuck, cycle = self._run(lo, hi, inside, allowed, queue)
        return Bounds(lo, hi, stuck, cycle)

    def _run(
        self,
        lo: list[int],
        hi: list[int],
        inside: bytearray,
        allowed: dict[int, Stretches],
        queue: deque[int],
    ) -> tuple[int | None, tuple[int, ...]]:
        """Propagate until nothing changes, a bound passes its opposite, or a circle shows.

        A bound that moves very often is looked at for a circle; where there is
        none, the bounds stay as they are then, wider than they might be.
        """
        waiting = set(queue)
        cause: dict[int, int] = {}
        raised: dict[int, int] = {}
        lowered: dict[int, int] = {}
        often = 4 * len(waiting) + 16
        while queue:
            u = queue.popleft()
            waiting.discard(u)
            if u in allowed:
                before = lo[u]
                if not _snap(u, lo, hi, allowed[u]):
                    return u // 2, ()
                if lo[u] > before:
                    # Raised by somebody's hours, not by a link: no part of a circle.
                    cause.pop(u, None)
            if lo[u] > hi[u]:
                return u // 2 if u < self.n else None, self._cycle(u, cause)
            for v, w in self.out[u] if lo[u] > -FAR else ():
                if inside[v] and lo[u] + w > lo[v]:
                    lo[v] = lo[u] + w
                    cause[v] = u
                    raised[v] = raised.get(v, 0) + 1
                    if lo[v] > hi[v] or raised[v] > often:
                        cycle = self._cycle(v, cause)
                        met = lo[v] > hi[v] or bool(cycle)
                        return (v // 2 if v < self.n else u // 2) if met else None, cycle
                    if v not in waiting:
                        waiting.add(v)
                        queue.append(v)
            for v, w in self.into[u]:
                if inside[v] and hi[u] - w < hi[v]:
                    hi[v] = hi[u] - w
                    lowered[v] = lowered.get(v, 0) + 1
                    if lo[v] > hi[v]:
                        return v // 2 if v < self.n else u // 2, self._cycle(v, cause)
                    if lowered[v] > often:
                        return v // 2 if lo[v] <= -FAR and v < self.n else None, ()
                    if v not in waiting:
                        waiting.add(v)
                        queue.append(v)
        return None, ()

    def _cycle(self, at: int, cause: dict[int, int]) -> tuple[int, ...]:
        """The circle that what raised a bound runs in, if it does."""
        seen: dict[int, int] = {}
        path: list[int] = []
        while at in cause and at not in seen:
            seen[at] = len(path)
            path.append(at)
            at = cause[at]
        if at not in seen:
            return ()
        return tuple(dict.fromkeys(u // 2 for u in path[seen[at] :] if u < self.n))


def _snap(u: int, lo: list[int], hi: list[int], allowed: Stretches) -> bool:
    """Move a start's bounds to the nearest possible starts; False where none is left."""
    i = bisect_left(allowed, lo[u], key=lambda s: s[1])
    if i == len(allowed):
        return False
    lo[u] = max(lo[u], allowed[i][0])
    if hi[u] < FAR:
        j = bisect_right(allowed, hi[u], key=lambda s: s[0]) - 1
        if j < 0:
            return False
        hi[u] = min(hi[u], allowed[j][1])
    return lo[u] <= hi[u]

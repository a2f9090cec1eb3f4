"""Windows: the earliest and latest of every endpoint, by propagating what ties it.

Sound for batches that may be left out: a window is narrowed only by batches
that are there whenever its own is. Start domains hold what a window cannot:
stretches with somebody on shift, and hours of people who may do the work.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from typing import TYPE_CHECKING

from scheduler.solve.cpsat.ranges import (
    Ranges,
    at_or_after,
    at_or_before,
    ends,
    meet,
    merged,
    shifted,
    starts,
    union,
)
from scheduler.workload.primitives import HORIZON_START

if TYPE_CHECKING:
    from scheduler.solve.cpsat.scope import Scope
    from scheduler.workload.primitives import Link, Point

ROUNDS = 400
"""Propagation stops after so many visits a node: what it has by then is still sound."""


class Bounds:
    """Earliest and latest of every node, where node 2t is task t's start and 2t + 1 its end.

    Attributes
    ----------
    low, high : list of int
        Ticks, given that the node's batch is there.
    allowed : list of Ranges or None
        Values inside low..high that a node may take, where there are gaps.
    impossible : set of int
        Batches that cannot be there.
    """

    def __init__(self, scope: Scope, tighten: bool) -> None:
        self.scope = scope
        self.problem = scope.problem
        count = 2 * len(self.problem.tasks)
        self.low = [0] * count
        self.high = [0] * count
        self.allowed: list[Ranges | None] = [None] * count
        self.impossible: set[int] = set()
        self.arcs_out: list[list[tuple[int, int]]] = [[] for _ in range(count)]
        self.arcs_in: list[list[tuple[int, int]]] = [[] for _ in range(count)]
        self._own(tighten)
        self._arcs()
        if tighten:
            self._propagate()

    def batch(self, node: int) -> int:
        """The batch that a node belongs to."""
        return self.problem.tasks[node // 2].batch

    def apart(self, first: Point, last: Point) -> tuple[int, int]:
        """Least and most of time(last) - time(first), given that both are there.

        From the windows and from paths inside the two batches.
        """
        low1, high1 = self.window(first)
        low2, high2 = self.window(last)
        least, most = low2 - high1, high2 - low1
        if first.task >= 0 and last.task >= 0:
            a, b = node_of(first), node_of(last)
            least = max(least, self._path(a, b))
            most = min(most, -self._path(b, a))
        return least, most

    def window(self, point: Point) -> tuple[int, int]:
        """Earliest and latest of an endpoint."""
        if point.task < 0:
            at = 0 if point.task == HORIZON_START else self.problem.horizon
            return at, at
        node = node_of(point)
        return self.low[node], self.high[node]

    # -- where each node starts from ------------------------------------------------

    def _own(self, tighten: bool) -> None:
        problem, scope = self.problem, self.scope
        hours = self._hours() if tighten else {}
        for t, task in enumerate(problem.tasks):
            start, end = 2 * t, 2 * t + 1
            if task.batch in scope.frozen:
                self.low[start], self.low[end] = scope.base.times[t]
                self.high[start], self.high[end] = scope.base.times[t]
                continue
            fixed = problem.batches[task.batch].fixed
            earliest = max(task.earliest, 0 if fixed else problem.now, 0)
            latest = min(task.latest, problem.horizon)
            self.low[start], self.high[start] = earliest, latest - task.least
            self.low[end], self.high[end] = earliest + task.least, latest
            if not tighten:
                continue
            if task.within is not None:
                stretches = merged(task.within)
                self._allow(start, starts(stretches, task.least))
                self._allow(end, ends(stretches, task.least))
            for begin, finish in hours.get(t, []):
                self._allow(start, begin)
                self._allow(end, finish)
            if task.least == task.most and self.allowed[start] is not None:
                self.allowed[end] = shifted(self.allowed[start] or (), task.least)

    def _allow(self, node: int, values: Ranges) -> None:
        now = self.allowed[node]
        self.allowed[node] = values if now is None else meet(now, values)

    def _hours(self) -> dict[int, list[tuple[Ranges, Ranges]]]:
        """Per task, for each of its crews, when it can start and end by those who may do it.

        Each person's own stretches, not the union of them: a crew stays the
        same from start to end. In every way each line has somebody who is
        there for the shortest that the way lasts, from the start on and until
        the end.
        """
        found: dict[int, list[tuple[Ranges, Ranges]]] = {}
        for c, crew in enumerate(self.problem.crews):
            task = self.problem.tasks[crew.task]
            if task.batch in self.scope.frozen:
                continue
            begin: list[tuple[int, int]] = []
            finish: list[tuple[int, int]] = []
            for way in crew.ways:
                least = max(task.least, way.least)
                if least > min(task.most, way.most):
                    continue
                may: Ranges | None = None
                for line in way.lines:
                    who = (r for p in line.people for r in starts(self.scope.hours(p, c), least))
                    may = union(who) if may is None else meet(may, union(who))
                begin += may or ()
                finish += [(a + least, b + least) for a, b in may or ()]
            found.setdefault(crew.task, []).append((union(begin), union(finish)))
        return found

    def _arcs(self) -> None:
        """Differences: (v, w) in arcs_out[u] says time(v) - time(u) >= w."""
        for t, task in enumerate(self.problem.tasks):
            if self._here(task.batch):
                self._arc(2 * t, 2 * t + 1, task.least)
                self._arc(2 * t + 1, 2 * t, -task.most)
        for link in self.problem.links:
            self._link(link)

    def _link(self, link: Link) -> None:
        points = (link.before, link.after)
        if any(p.task >= 0 and not self._here(self.problem.tasks[p.task].batch) for p in points):
            return
        before, after = points
        if before.task >= 0 and after.task >= 0:
            if link.least is not None:
                self._arc(node_of(before), node_of(after), link.least)
            if link.most is not None:
                self._arc(node_of(after), node_of(before), -link.most)
            return
        if before.task >= 0:
            node, (at, _) = node_of(before), self.window(after)
            if self.batch(node) not in self.scope.frozen:
                if link.least is not None:
                    self.high[node] = min(self.high[node], at - link.least)
                if link.most is not None:
                    self.low[node] = max(self.low[node], at - link.most)
        elif after.task >= 0:
            node, (at, _) = node_of(after), self.window(before)
            if self.batch(node) not in self.scope.frozen:
                if link.least is not None:
                    self.low[node] = max(self.low[node], at + link.least)
                if link.most is not None:
                    self.high[node] = min(self.high[node], at + link.most)

    def _arc(self, u: int, v: int, w: int) -> None:
        self.arcs_out[u].append((v, w))
        self.arcs_in[v].append((u, w))

    def _here(self, batch: int) -> bool:
        scope = self.scope
        return batch in scope.frozen or batch in scope.certain or batch in scope.maybe

    # -- propagation ----------------------------------------------------------------

    def _propagate(self) -> None:
        scope = self.scope
        implied = {b: scope.implied(b) for b in sorted(scope.maybe)}
        surely = scope.frozen | scope.certain

        def follows(u: int, v: int) -> bool:
            """Whether u's batch is there whenever v's is."""
            a, b = self.batch(u), self.batch(v)
            return a == b or a in surely or (b in implied and a in implied[b])

        nodes = [n for n in range(len(self.low)) if self._here(self.batch(n))]
        for node in nodes:
            self._settle(node)
        queue = deque(nodes)
        waiting = set(nodes)
        left = ROUNDS * max(1, len(nodes))
        while queue and left > 0:
            u = queue.popleft()
            waiting.discard(u)
            left -= 1
            if self.batch(u) in self.impossible:
                continue
            changed: list[int] = []
            for v, w in self.arcs_out[u]:
                if self.low[u] + w > self.low[v] and follows(u, v):
                    changed += self._raise(v, self.low[u] + w)
            for v, w in self.arcs_in[u]:
                if self.high[u] - w < self.high[v] and follows(u, v):
                    changed += self._lower(v, self.high[u] - w)
            for v in changed:
                if v not in waiting:
                    waiting.add(v)
                    queue.append(v)

    def _raise(self, node: int, value: int) -> Iterable[int]:
        if self.batch(node) in self.scope.frozen:
            # Said by the link's own constraint; frozen times do not move.
            return ()
        self.low[node] = value
        return self._settle(node)

    def _lower(self, node: int, value: int) -> Iterable[int]:
        if self.batch(node) in self.scope.frozen:
            return ()
        self.high[node] = value
        return self._settle(node)

    def _settle(self, node: int) -> Iterable[int]:
        """Move a node's window to values that are allowed; its batch is impossible if none are."""
        values = self.allowed[node]
        if values is not None:
            low, high = at_or_after(values, self.low[node]), at_or_before(values, self.high[node])
            self.low[node] = low if low is not None else self.high[node] + 1
            self.high[node] = high if high is not None else self.low[node] - 1
        if self.low[node] > self.high[node]:
            self._fail(self.batch(node))
            return ()
        return (node,)

    def _fail(self, batch: int) -> None:
        """It cannot be there, nor can whatever needs it."""
        self.impossible.add(batch)
        for b in sorted(self.scope.maybe | self.scope.certain):
            if b not in self.impossible and batch in self.scope.implied(b):
                self.impossible.add(b)

    def _path(self, a: int, b: int) -> int:
        """The longest path from a to b inside their two batches (a lower bound if cut short)."""
        mine = {self.batch(a), self.batch(b)}
        far = {a: 0}
        queue = deque([a])
        steps = 0
        while queue and steps < ROUNDS:
            u = queue.popleft()
            steps += 1
            for v, w in self.arcs_out[u]:
                if self.batch(v) in mine and far[u] + w > far.get(v, -(1 << 60)):
                    far[v] = far[u] + w
                    queue.append(v)
        return far.get(b, -(1 << 60))


def node_of(point: Point) -> int:
    """The node of an endpoint that is not an end of the horizon."""
    return 2 * point.task + point.end

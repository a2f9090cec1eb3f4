"""Endpoints as expressions: one variable shared by all that are a fixed distance apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from scheduler.solve.cpsat.bounds import Bounds, node_of
from scheduler.solve.cpsat.ranges import Ranges, meet, shifted

if TYPE_CHECKING:
    from scheduler.solve.cpsat.scope import Scope
    from scheduler.workload.primitives import Point, Solution


@dataclass(frozen=True, slots=True)
class At:
    """A moment: a variable and a distance from it, or a number.

    Attributes
    ----------
    root : int or None
        Which variable; None for a number.
    var : IntVar or None
    offset : int
        Ticks after the variable; the number itself where there is none.
    low, high : int
        Earliest and latest.
    """

    root: int | None
    var: cp_model.IntVar | None
    offset: int
    low: int
    high: int

    @property
    def expr(self) -> cp_model.LinearExprT:
        """What CP-SAT reads: an affine expression of one variable, or an int."""
        return self.offset if self.var is None else self.var + self.offset

    def plus(self, ticks: int) -> At:
        """So many ticks later."""
        return At(self.root, self.var, self.offset + ticks, self.low + ticks, self.high + ticks)

    def distance(self, later: At) -> int | None:
        """later - self where that is one number."""
        return later.offset - self.offset if self.root == later.root else None


class Timeline:
    """The moments of all tasks that a model decides or keeps."""

    def __init__(self, cp: cp_model.CpModel, scope: Scope, bounds: Bounds, share: bool) -> None:
        self.cp = cp
        self.scope = scope
        self.problem = scope.problem
        self.bounds = bounds
        self.roots: list[cp_model.IntVar] = []
        self.lowest: list[int] = []
        """The least value of each root; what it takes when its batch is left out."""
        self.batch_of: list[int] = []
        self.first_node: list[tuple[int, int]] = []
        """For each root a node of it and the node's offset."""
        self._at: dict[int, At] = {}
        self._leader: dict[int, tuple[int, int]] = {}
        self._build(share)

    def at(self, point: Point) -> At:
        """The moment of an endpoint."""
        if point.task < 0:
            value, _ = self.bounds.window(point)
            return At(None, None, value, value, value)
        return self._at[node_of(point)]

    def span(self, task: int) -> tuple[At, At]:
        """Start and end of a task."""
        return self._at[2 * task], self._at[2 * task + 1]

    def hinted(self, solution: Solution) -> list[int]:
        """The value of each root in a solution."""
        values: list[int] = []
        for (node, offset), lowest in zip(self.first_node, self.lowest, strict=True):
            times = solution.times.get(node // 2)
            values.append(lowest if times is None else times[node % 2] - offset)
        return values

    # -- who shares -----------------------------------------------------------------

    def _build(self, share: bool) -> None:
        scope = self.scope
        moving = scope.certain | scope.maybe
        nodes = [n for n in range(len(self.bounds.low)) if self.bounds.batch(n) in moving]
        for t, task in enumerate(self.problem.tasks):
            if task.batch in scope.frozen:
                for node, value in zip((2 * t, 2 * t + 1), scope.base.times[t], strict=True):
                    self._at[node] = At(None, None, value, value, value)
        if share:
            self._join(moving)
        groups: dict[int, list[tuple[int, int]]] = {}
        for node in nodes:
            leader, offset = self._find(node)
            groups.setdefault(leader, []).append((node, offset))
        for group in groups.values():
            self._root(group)

    def _join(self, moving: frozenset[int]) -> None:
        """A fixed length or a link with one value ties two nodes of batches that come together."""
        certain = self.scope.certain
        for t, task in enumerate(self.problem.tasks):
            if task.batch in moving and task.least == task.most:
                self._unite(2 * t, 2 * t + 1, task.least)
        for link in self.problem.links:
            if link.least is None or link.least != link.most:
                continue
            if link.before.task < 0 or link.after.task < 0:
                continue
            u, v = node_of(link.before), node_of(link.after)
            a, b = self.bounds.batch(u), self.bounds.batch(v)
            if a in moving and b in moving and (a == b or (a in certain and b in certain)):
                self._unite(u, v, link.least)

    def _find(self, node: int) -> tuple[int, int]:
        """The node's leader and its distance from it."""
        path: list[int] = []
        offset = 0
        while node in self._leader:
            path.append(node)
            node, step = self._leader[node]
            offset += step
        leader, total = node, offset
        for member in path:
            _, step = self._leader[member]
            self._leader[member] = (leader, total)
            total -= step
        return leader, offset

    def _unite(self, u: int, v: int, apart: int) -> None:
        """time(v) - time(u) = apart. A contradiction is left to the link's own constraint."""
        (a, da), (b, db) = self._find(u), self._find(v)
        if a != b:
            self._leader[b] = (a, da + apart - db)

    # -- variables ------------------------------------------------------------------

    def _root(self, group: list[tuple[int, int]]) -> None:
        bounds = self.bounds
        values: Ranges = ((-(1 << 40), 1 << 40),)
        for node, offset in group:
            low, high = bounds.low[node], bounds.high[node]
            values = meet(values, shifted(((low, high),) if low <= high else (), -offset))
            some = bounds.allowed[node]
            if some is not None:
                values = meet(values, shifted(some, -offset))
        batches = {bounds.batch(node) for node, _ in group}
        if not values or batches & bounds.impossible:
            bounds.impossible |= batches
            values = ((0, 0),)
        low, high = values[0][0], values[-1][1]
        if low == high:
            for node, offset in group:
                at = low + offset
                self._at[node] = At(None, None, at, at, at)
            return
        domain = cp_model.Domain.from_intervals([[a, b] for a, b in values])
        index = len(self.roots)
        self.roots.append(self.cp.new_int_var_from_domain(domain, ""))
        self.lowest.append(low)
        self.batch_of.append(bounds.batch(group[0][0]))
        self.first_node.append(group[0])
        for node, offset in group:
            self._at[node] = At(index, self.roots[-1], offset, low + offset, high + offset)

    def roots_of(self) -> Mapping[int, list[int]]:
        """For each batch that moves the roots whose canonical value it sets when left out."""
        found: dict[int, list[int]] = {}
        for root, batch in enumerate(self.batch_of):
            found.setdefault(batch, []).append(root)
        return found

"""Which units what is taken stands for in the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.model import Taken
from scheduler.workload.colouring import coloured
from scheduler.workload.primitives import HORIZON_END, HORIZON_START

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.workload.compiled import Compiled, Occupied, VisitRecord
    from scheduler.workload.primitives import Option, Placed, Point, Solution

Key = tuple[str, int, int]
"""A use ("use", its place, 0), or what a visit takes (kind and need, item, which visit)."""


class Numbering:
    """Times and units of a solution, read back in minutes and names.

    Counted kinds get their unit numbers here, all uses of a kind together:
    the smallest free units, in order of start.
    """

    def __init__(self, compiled: Compiled, solution: Solution) -> None:
        self.compiled = compiled
        self.problem = compiled.problem
        self.solution = solution
        self.grid = compiled.problem.grid
        self.now = compiled.problem.now * self.grid
        self.placed = solution.placed(compiled.problem)
        self.units: dict[Key, tuple[str, ...]] = {}
        self._number()

    def here(self, batch: str) -> bool:
        """Has a batch a place?"""
        return self.compiled.batch[batch] in self.placed

    def at(self, point: Point) -> int | None:
        """The minute of an endpoint; None if its task has no place.

        What stands there before the week is shown from planning on.
        """
        if point.task == HORIZON_START:
            return self.now
        if point.task == HORIZON_END:
            return self.problem.horizon * self.grid
        times = self.solution.times.get(point.task)
        return None if times is None else times[point.end] * self.grid

    def minute(self, point: Point) -> int:
        """The minute of an endpoint that has a place."""
        return self.at(point) or 0

    def option(self, use: int) -> Option:
        """The option a use follows."""
        choice = self.problem.uses[use].choice
        return self.problem.choices[choice].options[self.solution.chosen.get(choice, 0)]

    def visits(self, record: VisitRecord) -> tuple[Placed, ...]:
        """The planned visits of a tend or an add."""
        if record.kind == "tend":
            return tuple(self.solution.tends.get(record.item, ()))
        if record.kind == "add":
            placed = self.solution.adds.get(record.item)
            return () if placed is None else (placed,)
        return ()

    def _number(self) -> None:
        spans: dict[int, list[tuple[int, int, int, Key]]] = {}
        for resource, start, end, places, key in self._counted():
            spans.setdefault(resource, []).append((start, end, places, key))
        for resource, found in spans.items():
            units = self.compiled.holders[resource].units
            if len(units) == 1:
                self.units.update({key: units for *_, key in found})
                continue
            colours = coloured([(a, z, n) for a, z, n, _ in found], len(units))
            for (*_, key), taken in zip(found, colours, strict=True):
                self.units[key] = tuple(units[u] for u in taken)

    def _counted(self) -> Iterator[tuple[int, int, int, int, Key]]:
        """Everything that counted kinds are taken for: resource, start, end, places, key."""
        holders = self.compiled.holders
        for record in self.compiled.tasks:
            if not self.here(record.batch):
                continue
            for one in (*record.taken, *(t for v in record.visits for t in v.taken)):
                resource = self.option(one.use).resource
                if holders[resource].units:
                    key = ("use", one.use, 0)
                    yield resource, self.minute(one.start), self.minute(one.end), one.places, key
            for visit in record.visits:
                for n, placed in enumerate(self.visits(visit)):
                    for k, (_, resource, places) in enumerate(visit.takes):
                        if holders[resource].units:
                            start, end = placed.start * self.grid, placed.end * self.grid
                            yield resource, start, end, places, (f"{visit.kind}{k}", visit.item, n)
        for duty in self.compiled.duties:
            for use, places in duty.taken:
                resource = self.option(use).resource
                if holders[resource].units and duty.task in self.solution.times:
                    start, end = (t * self.grid for t in self.solution.times[duty.task])
                    yield resource, start, end, places, ("use", use, 0)

    def unit_of(self, use: int) -> str | None:
        """The (first) unit a use stands for."""
        holder = self.compiled.holders[self.option(use).resource]
        return holder.unit or next(iter(self.units.get(("use", use, 0), ())), None)

    def taken(self, one: Occupied, began: int | None) -> list[Taken]:
        """A use as the plan shows it; from `began` where it began before the week."""
        option = self.option(one.use)
        states = self.problem.resources[option.resource].states
        mode, celsius = (
            (None, None) if option.state is None or not states else states[option.state]
        )
        start = self.minute(one.start) if began is None else began
        return self._places(
            one.need, option.resource, ("use", one.use, 0), one.places, start,
            self.minute(one.end), mode, celsius,
        )

    def taken_by(self, record: VisitRecord, n: int, placed: Placed) -> list[Taken]:
        """What the n-th visit of a tend or an add takes."""
        return [
            taken
            for k, (need, resource, places) in enumerate(record.takes)
            for taken in self._places(
                need, resource, (f"{record.kind}{k}", record.item, n), places,
                placed.start * self.grid, placed.end * self.grid,
            )
        ]

    def _places(
        self,
        need: int,
        resource: int,
        key: Key,
        amount: int,
        start: int,
        end: int,
        mode: str | None = None,
        celsius: int | None = None,
    ) -> list[Taken]:
        """One entry for each unit."""
        holder = self.compiled.holders[resource]
        units: tuple[str | None, ...] = self.units.get(key, (holder.unit,))
        each = amount if len(units) == 1 else 1
        return [
            Taken(
                need=need, unit=u, store=holder.store, amount=each, start=start, end=end,
                mode=mode, celsius=celsius,
            )
            for u in units
        ]

"""From an engine's answer back to a plan in the kitchen's words."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from scheduler.plan.model import (
    Missing,
    Plan,
    PlannedBatch,
    PlannedDuty,
    PlannedHold,
    PlannedTask,
    PlannedVisit,
    Share,
    Taken,
    Unserved,
)
from scheduler.workload.amounts import written
from scheduler.workload.colouring import coloured
from scheduler.workload.primitives import HORIZON_END, HORIZON_START

if TYPE_CHECKING:
    from scheduler.domain.quantity import Dimension
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Terms
    from scheduler.workload.compiled import Compiled, HoldRecord, Occupied, TaskRecord, VisitRecord
    from scheduler.workload.model import WorkBatch, Workload
    from scheduler.workload.primitives import Placed, Point, Solution

NO_PLACE = "no place was found for it in the time given"
_LONGEST = 118


def assemble(
    scenario: Scenario,
    workload: Workload,
    compiled: Compiled,
    solution: Solution,
    why: Mapping[str, str],
    certain: Collection[str],
    terms: Terms,
) -> Plan:
    """The plan a solution stands for.

    Parameters
    ----------
    why : mapping of str to str
        Batch: why it has no place, in a chef's words.
    certain : collection of str
        Batches of which that is proved.
    terms : Terms
        The objective, as the engine's own reckoning has it.
    """
    return _Assembly(scenario, workload, compiled, solution).plan(terms, why, certain)


class _Assembly:
    def __init__(
        self, scenario: Scenario, workload: Workload, compiled: Compiled, solution: Solution
    ) -> None:
        self.scenario = scenario
        self.work = workload
        self.compiled = compiled
        self.problem = compiled.problem
        self.solution = solution
        self.grid = compiled.problem.grid
        self.now = compiled.problem.now * self.grid
        self.placed = solution.placed(compiled.problem)
        self.people = [p for p, _ in compiled.problem.people]
        self.numbers: dict[tuple[str, int, int], tuple[str, ...]] = {}

    def plan(self, terms: Terms, why: Mapping[str, str], certain: Collection[str]) -> Plan:
        self._number()
        return Plan(
            batches=tuple(self._batch(b) for b in self.work.batches),
            shares=tuple(
                Share(
                    source=s.source, consumer=s.consumer, step=s.step,
                    quantity=written(s.quantity, self._dimension(s.component)),
                )
                for s in self.work.shares
            ),
            tasks=tuple(self._task(r) for r in self.compiled.tasks if self._here(r.batch)),
            holds=tuple(h for r in self.compiled.holds if (h := self._hold(r)) is not None),
            duties=tuple(self._duties()),
            missing=tuple(self._missing(why, certain)),
            unserved=tuple(self._unserved()),
            terms=terms,
        )

    # -- looking up --------------------------------------------------------------------

    def _dimension(self, component: str) -> Dimension:
        return self.scenario.component[component].makes.dimension

    def _here(self, batch: str) -> bool:
        return self.compiled.batch[batch] in self.placed

    def _at(self, point: Point) -> int | None:
        """The minute of an endpoint; None if its task has no place."""
        if point.task == HORIZON_START:
            return self.now
        if point.task == HORIZON_END:
            return self.problem.horizon * self.grid
        times = self.solution.times.get(point.task)
        return None if times is None else times[point.end] * self.grid

    def _minute(self, point: Point) -> int:
        at = self._at(point)
        return 0 if at is None else at

    # -- equipment -----------------------------------------------------------------------

    def _number(self) -> None:
        """Numbers for the units of counted kinds, all uses of a kind together."""
        spans: dict[int, list[tuple[int, int, int, tuple[str, int, int]]]] = {}
        for record in self.compiled.tasks:
            if not self._here(record.batch):
                continue
            taken = [*record.taken, *(t for v in record.visits for t in v.taken)]
            for one in taken:
                resource = self._resource(one.use)
                if resource is not None and self.compiled.holders[resource].units:
                    span = (self._minute(one.start), self._minute(one.end), one.places)
                    spans.setdefault(resource, []).append((*span, ("use", one.use, 0)))
            for visit in record.visits:
                for n, placed in enumerate(self._visits(visit)):
                    for k, (_, resource, places) in enumerate(visit.takes):
                        if self.compiled.holders[resource].units:
                            key = (f"{visit.kind}{k}", visit.item, n)
                            span = (placed.start * self.grid, placed.end * self.grid, places)
                            spans.setdefault(resource, []).append((*span, key))
        for resource, found in spans.items():
            units = self.compiled.holders[resource].units
            if len(units) == 1:
                self.numbers.update({key: units for *_, key in found})
                continue
            colours = coloured([(a, z, n) for a, z, n, _ in found], len(units))
            for (*_, key), taken_units in zip(found, colours, strict=True):
                self.numbers[key] = tuple(units[u] for u in taken_units)

    def _resource(self, use: int) -> int | None:
        choice = self.problem.uses[use].choice
        options = self.problem.choices[choice].options
        return options[self.solution.chosen.get(choice, 0)].resource if options else None

    def _taken(self, one: Occupied, began: int | None) -> list[Taken]:
        choice = self.problem.uses[one.use].choice
        option = self.problem.choices[choice].options[self.solution.chosen.get(choice, 0)]
        holder = self.compiled.holders[option.resource]
        mode, celsius = (None, None)
        if option.state is not None:
            mode, celsius = self.problem.resources[option.resource].states[option.state]
        start = self._minute(one.start) if began is None else began
        return self._places(
            one.need, holder.unit, holder.store, self.numbers.get(("use", one.use, 0), ()),
            one.places, start, self._minute(one.end), mode, celsius,
        )

    @staticmethod
    def _places(
        need: int,
        unit: str | None,
        store: str | None,
        units: tuple[str, ...],
        amount: int,
        start: int,
        end: int,
        mode: str | None = None,
        celsius: int | None = None,
    ) -> list[Taken]:
        """One entry for each unit."""
        if unit is not None or store is not None:
            units = (unit or "",)
        each = amount if len(units) == 1 else 1
        return [
            Taken(
                need=need, unit=u or None, store=store, amount=each, start=start, end=end,
                mode=mode, celsius=celsius,
            )
            for u in units
        ]

    # -- tasks ---------------------------------------------------------------------------

    def _task(self, record: TaskRecord) -> PlannedTask:
        times = {
            part: tuple(t * self.grid for t in self.solution.times[task])
            for part, task in record.parts.items()
        }
        law_start, law_end = times["run"]
        start = times["load"][0] if "load" in times else law_start
        end = times["unload"][1] if "unload" in times else law_end
        if record.began is not None:
            start = law_start = record.began
        visits = [v for r in record.visits for v in self._planned(r)]
        return PlannedTask(
            id=record.id, batch=record.batch, step=record.step, load=record.load,
            loads=record.loads, quantity=written(record.quantity, record.dimension), start=start,
            law_start=law_start, law_end=law_end, end=end,
            visits=tuple(sorted(visits, key=lambda v: (v.start, v.end, v.kind, v.index))),
            taken=tuple(t for o in record.taken for t in self._taken(o, record.began)),
        )

    def _visits(self, record: VisitRecord) -> tuple[Placed, ...]:
        if record.kind == "tend":
            return tuple(self.solution.tends.get(record.item, ()))
        if record.kind == "add":
            placed = self.solution.adds.get(record.item)
            return () if placed is None else (placed,)
        return ()

    def _planned(self, record: VisitRecord) -> list[PlannedVisit]:
        """The visits a record stands for, those of a tend numbered in order."""
        if record.kind in ("tend", "add"):
            found = []
            for n, placed in enumerate(self._visits(record)):
                start, end = placed.start * self.grid, placed.end * self.grid
                taken = [
                    t
                    for k, (need, resource, places) in enumerate(record.takes)
                    for t in self._places(
                        need, self.compiled.holders[resource].unit,
                        self.compiled.holders[resource].store,
                        self.numbers.get((f"{record.kind}{k}", record.item, n), ()), places,
                        start, end,
                    )
                ]
                found.append(
                    PlannedVisit(
                        kind="tend" if record.kind == "tend" else "add",
                        index=n if record.kind == "tend" else record.index, verb=record.verb,
                        start=start, end=end, people=self._names(placed.people),
                        taken=tuple(taken),
                    )
                )
            return found
        start, end = (t * self.grid for t in self.solution.times[record.task])
        return [
            PlannedVisit(
                kind=record.kind, index=0, verb=record.verb, start=start, end=end,  # type: ignore[arg-type]
                people=self._names(self.solution.crews.get(record.item, ())),
                taken=tuple(t for o in record.taken for t in self._taken(o, None)),
            )
        ]

    def _names(self, people: tuple[int, ...]) -> tuple[str, ...]:
        return tuple(self.people[p] for p in people)

    # -- the rest ------------------------------------------------------------------------

    def _batch(self, batch: WorkBatch) -> PlannedBatch:
        return PlannedBatch(
            id=batch.id, component=batch.component, dish=batch.dish, event=batch.event,
            course=batch.course, diet=batch.diet, wave=batch.wave,
            quantity=written(batch.quantity, batch.dimension),
            good=written(batch.good, batch.dimension), in_progress=batch.in_progress,
        )

    def _hold(self, record: HoldRecord) -> PlannedHold | None:
        start, end = self._at(record.start), self._at(record.end)
        if start is None or end is None:
            return None
        store = unit = None
        shelves = 0
        if record.use is not None:
            resource = self._resource(record.use)
            if end - start > self.problem.uses[record.use].grace * self.grid:
                shelves = record.shelves
            if resource is not None and shelves:
                store = self.compiled.holders[resource].store
        if record.machine is not None:
            resource = self._resource(record.machine)
            if resource is not None:
                numbered = self.numbers.get(("use", record.machine, 0), ())
                unit = self.compiled.holders[resource].unit or next(iter(numbered), None)
        return PlannedHold(
            kind=record.kind, source=record.source, step=record.step, load=record.load,  # type: ignore[arg-type]
            consumer=record.consumer, quantity=written(record.quantity, record.dimension),
            start=start, end=end, store=store, unit=unit, shelves=shelves,
        )

    def _duties(self) -> list[PlannedDuty]:
        found = []
        for record in self.compiled.duties:
            if record.task in self.solution.times:
                start, end = (t * self.grid for t in self.solution.times[record.task])
                people: tuple[int, ...] = ()
                if record.crew is not None:
                    people = self.solution.crews.get(record.crew, ())
                found.append(
                    PlannedDuty(
                        id=record.id, duty=record.duty, start=start, end=end,
                        people=self._names(people),
                    )
                )
        return found

    def _missing(self, why: Mapping[str, str], certain: Collection[str]) -> list[Missing]:
        found = []
        for batch in self.work.batches:
            if self._here(batch.id):
                continue
            said = why.get(batch.id)
            if said is None:
                inputs = self.problem.batches[self.compiled.batch[batch.id]].inputs
                lacking = [self.problem.batches[i].id for i in inputs if i not in self.placed]
                said = f"it cannot be made without {', '.join(lacking)}" if lacking else NO_PLACE
            found.append(
                Missing(batch=batch.id, why=_short(said), certain=batch.id in certain)
            )
        return found

    def _unserved(self) -> list[Unserved]:
        """Portions that lack something, by what stands in Plate: the worst of what is left out."""
        found = []
        by_index = {self.compiled.batch[b.id]: b for b in self.work.batches}
        for plate in self.problem.plates:
            gone = [(b, n) for b, n in plate.lacks if b not in self.placed]
            if not gone:
                continue
            dish = by_index[plate.batch]
            lacks = dict.fromkeys(
                by_index[b].component or by_index[b].dish or "" for b, _ in gone
            )
            found.append(
                Unserved(
                    batch=dish.id, event=dish.event or "", dish=dish.dish or "",
                    portions=max(n for _, n in gone), lacks=tuple(lacks),
                )
            )
        return found


def _short(text: str) -> str:
    """One line that a label can hold."""
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"

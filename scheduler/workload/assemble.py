"""From an engine's answer back to a plan in the kitchen's words."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import TYPE_CHECKING

from scheduler.domain.methods import BOUGHT
from scheduler.plan.model import (
    Missing,
    Order,
    Plan,
    PlannedBatch,
    PlannedBreak,
    PlannedDuty,
    PlannedHold,
    PlannedTask,
    PlannedVisit,
    Share,
    Unserved,
)
from scheduler.workload.amounts import written
from scheduler.workload.buying import order_by
from scheduler.workload.cleaned import clean_downs
from scheduler.workload.numbering import Numbering
from scheduler.workload.words import moment, short

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Terms
    from scheduler.workload.compiled import Compiled, HoldRecord, TaskRecord, VisitRecord
    from scheduler.workload.model import WorkBatch, Workload
    from scheduler.workload.primitives import Solution

NO_PLACE = "no place was found for it in the time given"


def assemble(
    scenario: Scenario,
    workload: Workload,
    compiled: Compiled,
    solution: Solution,
    why: Mapping[str, str],
    certain: Collection[str],
    terms: Terms,
    because: Mapping[str, str] | None = None,
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
    because : mapping of str to str
        Batch: why it is not made by the recipe's own steps.
    """
    read = Numbering(compiled, solution)
    dimension = {c.id: c.makes.dimension for c in scenario.components}
    return Plan(
        batches=tuple(
            _batch(scenario, read, b, (because or {}).get(b.id)) for b in workload.batches
        ),
        shares=tuple(
            Share(
                source=s.source, consumer=s.consumer, step=s.step,
                quantity=written(s.quantity, dimension[s.component]),
                by_product=s.component if s.given else None, given=s.given,
            )
            for s in workload.shares
        ),
        tasks=tuple(_task(read, r) for r in compiled.tasks if read.here(r.batch)),
        holds=tuple(h for r in compiled.holds if (h := _hold(read, r)) is not None),
        duties=tuple(_duties(read)),
        clean_downs=tuple(clean_downs(scenario, read)),
        breaks=tuple(_breaks(read)),
        missing=tuple(_missing(scenario, read, workload, why, certain)),
        unserved=tuple(_unserved(read, workload)),
        kept=compiled.kept,
        past=compiled.past,
        terms=terms,
    )


def _batch(
    scenario: Scenario, read: Numbering, batch: WorkBatch, because: str | None
) -> PlannedBatch:
    bought = batch.method == BOUGHT
    return PlannedBatch(
        id=batch.id, component=batch.component, dish=batch.dish, event=batch.event,
        course=batch.course, diet=batch.diet, wave=batch.wave,
        quantity=written(batch.quantity, batch.dimension),
        good=written(batch.good, batch.dimension), in_progress=batch.in_progress,
        method=None if bought else batch.method,
        bought=_order(scenario, read, batch) if bought else None,
        because=None if because is None else short(because),
    )


def _order(scenario: Scenario, read: Numbering, batch: WorkBatch) -> Order | None:
    """What is ordered, and until when for the delivery that is planned."""
    what = scenario.component[batch.component or ""].bought_in
    if what is None:
        return None
    by = scenario.clock.minute(scenario.week.plan_from)
    if read.here(batch.id):
        task = read.problem.batches[read.compiled.batch[batch.id]].tasks[0]
        by = order_by(scenario, what, read.solution.times[task][0] * read.grid) or by
    return Order(order_by=by, packs=batch.packs, price=batch.packs * what.price)


def _task(read: Numbering, record: TaskRecord) -> PlannedTask:
    times = {
        part: tuple(t * read.grid for t in read.solution.times[task])
        for part, task in record.parts.items()
    }
    law_start, law_end = times["run"]
    stopped = resumed = None
    if "on" in times:
        stopped, (resumed, law_end) = law_end, times["on"]
    start = times["load"][0] if "load" in times else law_start
    end = times["unload"][1] if "unload" in times else law_end
    if record.began is not None:
        start = law_start = record.began
    visits = [v for r in record.visits for v in _visits(read, r)]
    return PlannedTask(
        id=record.id, batch=record.batch, step=record.step, load=record.load, loads=record.loads,
        quantity=written(record.quantity, record.dimension), start=start, law_start=law_start,
        law_end=law_end, end=end, stopped=stopped, resumed=resumed,
        visits=tuple(sorted(visits, key=lambda v: (v.start, v.end, v.kind, v.index))),
        taken=tuple(t for o in record.taken for t in read.taken(o, record.began)),
    )


def _visits(read: Numbering, record: VisitRecord) -> Iterator[PlannedVisit]:
    """The visits a record stands for, those of a tend numbered in order."""
    people = [p for p, _ in read.problem.people]
    if record.kind in ("tend", "add"):
        for n, placed in enumerate(read.visits(record)):
            yield PlannedVisit(
                kind="tend" if record.kind == "tend" else "add",
                index=n if record.kind == "tend" else record.index, verb=record.verb,
                start=placed.start * read.grid, end=placed.end * read.grid,
                people=tuple(people[p] for p in placed.people),
                taken=tuple(read.taken_by(record, n, placed)),
            )
        return
    start, end = (t * read.grid for t in read.solution.times[record.task])
    yield PlannedVisit(
        kind=record.kind, index=record.index, verb=record.verb, start=start, end=end,  # type: ignore[arg-type]
        people=tuple(people[p] for p in read.solution.crews.get(record.item, ())),
        taken=tuple(t for o in record.taken for t in read.taken(o, None)),
    )


def _hold(read: Numbering, record: HoldRecord) -> PlannedHold | None:
    start, end = read.at(record.start), read.at(record.end)
    if start is None or end is None:
        return None
    store, shelves = None, 0
    if record.use is not None and end - start > read.problem.uses[record.use].grace * read.grid:
        store = read.compiled.holders[read.option(record.use).resource].store
        shelves = record.shelves
    return PlannedHold(
        kind=record.kind, source=record.source, step=record.step, load=record.load,  # type: ignore[arg-type]
        consumer=record.consumer, quantity=written(record.quantity, record.dimension),
        start=start, end=end, store=store,
        unit=None if record.machine is None else read.unit_of(record.machine), shelves=shelves,
        by_product=record.by_product,
    )


def _duties(read: Numbering) -> Iterator[PlannedDuty]:
    people = [p for p, _ in read.problem.people]
    for record in read.compiled.duties:
        if record.task in read.solution.times:
            start, end = (t * read.grid for t in read.solution.times[record.task])
            crew = () if record.crew is None else read.solution.crews.get(record.crew, ())
            yield PlannedDuty(
                id=record.id, duty=record.duty, start=start, end=end,
                people=tuple(people[p] for p in crew),
            )


def _breaks(read: Numbering) -> Iterator[PlannedBreak]:
    for record in read.compiled.breaks:
        if record.task in read.solution.times:
            start, end = (t * read.grid for t in read.solution.times[record.task])
            yield PlannedBreak(id=record.id, person=record.person, start=start, end=end)


def _missing(
    scenario: Scenario,
    read: Numbering,
    workload: Workload,
    why: Mapping[str, str],
    certain: Collection[str],
) -> Iterator[Missing]:
    batches = read.problem.batches
    kept = _kept(scenario, read)
    for batch in workload.batches:
        if read.here(batch.id):
            continue
        said = why.get(batch.id)
        if said is None:
            inputs = batches[read.compiled.batch[batch.id]].inputs
            lacking = [batches[i].id for i in inputs if i not in read.placed]
            said = f"it cannot be made without {', '.join(lacking)}" if lacking else NO_PLACE
        if batch.id in kept:
            said = f"{kept[batch.id]}: {said}"
        yield Missing(batch=batch.id, why=short(said), certain=batch.id in certain)


def _kept(scenario: Scenario, read: Numbering) -> dict[str, str]:
    """Batches with tasks that stay: "bake is kept Fri 7 May 14:00, for ana, on oven-2"."""
    of = {record.id: record for record in read.compiled.tasks}
    found: dict[str, str] = {}
    for kept in read.compiled.kept:
        record = of[kept.task]
        parts = [] if kept.start is None else [moment(scenario, kept.start)]
        parts += [f"for {' and '.join(kept.people)}"] if kept.people else []
        parts += [f"on {' and '.join(kept.equipment)}"] if kept.equipment else []
        load = f" {record.load}" if record.loads > 1 else ""
        one = f"{record.step}{load} is kept {', '.join(parts)}"
        found[record.batch] = f"{found[record.batch]}; {one}" if record.batch in found else one
    return found


def _unserved(read: Numbering, workload: Workload) -> Iterator[Unserved]:
    """Portions that lack something: of what is left out, that which leaves most without."""
    by_index = {read.compiled.batch[b.id]: b for b in workload.batches}
    for plate in read.problem.plates:
        gone = [(b, n) for b, n in plate.lacks if b not in read.placed]
        if not gone:
            continue
        dish = by_index[plate.batch]
        lacks = dict.fromkeys(by_index[b].component or by_index[b].dish or "" for b, _ in gone)
        yield Unserved(
            batch=dish.id, event=dish.event or "", dish=dish.dish or "",
            portions=max(n for _, n in gone), lacks=tuple(lacks),
        )

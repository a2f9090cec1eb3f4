"""The past of a plan that is made anew: what had begun, what of it is lost, where all else was."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Quantity
from scheduler.plan.model import Absent, Lost, Past, PlannedTask, Was
from scheduler.reshuffle.setback import Away, Cancelled, Down, LostBatch
from scheduler.reshuffle.warm import stood_in
from scheduler.workload.carried import summed, without

if TYPE_CHECKING:
    from scheduler.plan.model import PlannedVisit
    from scheduler.reshuffle.hits import Hits
    from scheduler.reshuffle.setback import Setback
    from scheduler.reshuffle.standing import Standing


def past_of(standing: Standing, setbacks: Sequence[Setback], hits: Hits) -> Past:
    """What is past of a plan, with what setbacks have done to it."""
    return _Making(standing, setbacks, hits).run()


class _Making:
    def __init__(self, standing: Standing, setbacks: Sequence[Setback], hits: Hits) -> None:
        self.standing, self.hits = standing, hits
        self.plan = standing.plan
        self.before = standing.plan.past or Past(now=standing.now)
        self.setbacks = setbacks

    def run(self) -> Past:
        standing, plan, hits, now = self.standing, self.plan, self.hits, self.standing.now
        begun = [t for t in plan.tasks if standing.begun(t) and t.id not in hits.not_begun]
        ids = {t.id for t in begun}
        self.taken = {(t.batch, t.step) for t in begun}
        self.batches = {t.batch for t in begun} | {b.id for b in plan.batches if b.in_progress}
        self.batches |= {b.id for b in plan.batches if b.bought and b.bought.order_by < now}
        broken = {b.task: b for b in self.before.broken_off} | hits.broken_off
        moved_out = {one.what for one in self.setbacks if isinstance(one, Down) and not one.left}
        found = Past(
            now=now,
            tasks=tuple(self._as_it_is(t) for t in begun),
            holds=tuple(h for h in plan.holds if h.start < now and h.store not in moved_out),
            duties=tuple(d for d in plan.duties if d.start < now),
            breaks=tuple(b for b in plan.breaks if b.start < now),
            batches=tuple(b for b in plan.batches if b.id in self.batches),
            shares=plan.shares,
            broken_off=tuple(b for name, b in sorted(broken.items()) if name in ids),
            settled=tuple(sorted({*self.before.settled, *hits.ends} & ids)),
            lost=summed((*self.before.lost, *self._short())),
            gone=self.before.gone,
            was=tuple(self._was(ids)),
            away=self._away(),
        )
        return without(found, [*self._lost(), *self._called_off()])

    # -- what is lost --------------------------------------------------------------------

    def _losses(self) -> Iterator[tuple[str, Quantity | None]]:
        """What is lost or short, and how much of it is left."""
        yield from ((batch, None) for batch in sorted(self.hits.lost))
        for one in self.setbacks:
            if isinstance(one, LostBatch):
                yield one.batch, one.left
            elif isinstance(one, Down):
                stood = stood_in(self.standing, one)
                yield from ((it.source, None) for it in stood if not it.good)

    def _lost(self) -> Iterator[str]:
        """Batches of which nothing is left and nobody has had anything: they are no more."""
        for source, left in self._losses():
            if left is None and source in self.batches and not self._had(source):
                yield source

    def _short(self) -> Iterator[Lost]:
        """Of all else that is lost or short: what nobody has had of it and is not left."""
        before: dict[str, Fraction] = {x.source: x.quantity.base for x in self.before.lost}
        gone = set(self._lost())
        for source, left in self._losses():
            batch, lots = self.standing.batch.get(source), self.standing.scenario.week.on_hand
            has = next((lot.quantity for lot in lots if lot.id == source), None)
            has = batch.good if batch is not None else has
            if has is None or (source in gone and not (batch and batch.in_progress)):
                continue
            base = has.base - before.get(source, Fraction(0))
            base -= sum((q.base for q in self._had(source)), Fraction(0))
            base -= left.base if left is not None else 0
            yield Lost(source=source, quantity=Quantity.of(max(base, Fraction(0)), has.dimension))

    def _had(self, source: str) -> list[Quantity]:
        """What has been taken of a batch or lot by now."""
        return [
            s.quantity for s in self.plan.shares
            if s.source == source and not s.by_product and (s.consumer, s.step) in self.taken
        ]  # fmt: skip

    def _called_off(self) -> Iterator[str]:
        """Of an event that is called off nothing goes on that is for nothing else."""
        off = {one.event for one in self.setbacks if isinstance(one, Cancelled)}
        for name in sorted(self.batches) if off else ():
            batch, now = self.standing.batch[name], self.standing.now
            unfinished = any(t.end > now for t in self.standing.tasks_of.get(name, ()))
            plates = batch.dish is not None and batch.event in off
            if plates or (unfinished and self.events(name) <= off):
                yield name

    def events(self, batch: str) -> set[str]:
        """The events a batch serves in the end, by the plan's shares."""
        seen, ahead, found = {batch}, [batch], set[str]()
        while ahead:
            one = ahead.pop()
            planned = self.standing.batch.get(one)
            if planned is not None and planned.event is not None:
                found.add(planned.event)
            for s in self.plan.shares:
                if s.source == one and s.consumer not in seen:
                    seen.add(s.consumer)
                    ahead.append(s.consumer)
        return found

    def _away(self) -> tuple[Absent, ...]:
        """Who is not there by now, also by what happened before."""
        until = {one.person: one.end for one in self.before.away}
        for one in self.setbacks:
            if isinstance(one, Away):
                end = self.standing.until(one.since, one.until)
                until[one.who] = max(end, until.get(one.who, 0))
        return tuple(
            Absent(person=who, end=end) for who, end in sorted(until.items())
            if end > self.standing.now
        )  # fmt: skip

    # -- as it is ----------------------------------------------------------------------------

    def _as_it_is(self, task: PlannedTask) -> PlannedTask:
        """A task that had begun: as planned, or over when somebody says."""
        if task.resumed is not None and task.resumed >= self.standing.now:
            task = task.model_copy(update={"resumed": None})
        broken = self.hits.broken_off.get(task.id)
        if broken is not None:
            visits = tuple(v for v in task.visits if v.start < broken.stopped)
            return task.model_copy(
                update={"stopped": broken.stopped, "resumed": None,
                        "visits": tuple(_until(v, broken.stopped) for v in visits)}
            )  # fmt: skip
        end = self.hits.ends.get(task.id)
        return task if end is None else _over_at(task, end)

    def _was(self, begun: set[str]) -> list[Was]:
        """Where everything stood that had not begun."""
        found = []
        for task in self.plan.tasks:
            if task.id not in begun:
                people = sorted({p for v in task.visits for p in v.people})
                found.append(Was(task=task.id, start=task.start, people=tuple(people)))
        manned = {d.id for d in self.standing.scenario.kitchen.duties if d.people}
        for duty in self.plan.duties:
            if duty.start >= self.standing.now and duty.duty in manned:
                people = sorted(duty.people)
                found.append(Was(task=duty.id, start=duty.start, people=tuple(people)))
        return found


def _until(visit: PlannedVisit, minute: int) -> PlannedVisit:
    """A visit that was broken off."""
    if visit.end <= minute:
        return visit
    taken = tuple(t.model_copy(update={"end": min(t.end, minute)}) for t in visit.taken)
    return visit.model_copy(update={"end": minute, "taken": taken})


def _over_at(task: PlannedTask, end: int) -> PlannedTask:
    """A task that is over at another moment: its law is longer or shorter by as much."""
    by = end - task.end
    law = max(task.law_start, task.law_end + by)
    visits = []
    for v in task.visits:
        if v.kind == "unload":
            v = v.model_copy(update={"start": v.start + by, "end": v.end + by})
        elif v.kind == "hands":
            v = v.model_copy(update={"end": law})
        elif v.kind in ("tend", "add") and v.start >= law:
            continue
        visits.append(v)
    return task.model_copy(update={"law_end": law, "end": law + (task.end - task.law_end),
                                   "visits": tuple(visits)})  # fmt: skip

"""What had happened when a week is planned anew in the middle: fixed, as narrower primitives.

    what had begun: the starts, ends and people it had, the unit, the setting, the store
    what runs: the same of all that had begun of it; its end stays open where it was
    visits made: gone from the tends, which go on from the last of them
    all else: no earlier than now

No engine knows more of it than that. A step that was broken off has two parts, the one that has
been and the one that is to come (`steps`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.workload.builder import first
from scheduler.workload.changing import Changes, JobWas
from scheduler.workload.compiled import VisitRecord
from scheduler.workload.primitives import (
    HORIZON_END,
    HORIZON_START,
    Add,
    Choice,
    Line,
    Link,
    Placed,
    Point,
    Way,
    way_taken,
)
from scheduler.workload.wishes import BY_HAND

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.plan.model import Past, PlannedTask, PlannedVisit, Taken
    from scheduler.workload.builder import Builder
    from scheduler.workload.compiled import Occupied, TaskRecord
    from scheduler.workload.primitives import Crew, Option


def add_past(b: Builder, past: Past) -> None:
    """Fix what had begun, and let nothing else begin before now; where all else was."""
    _Past(b, past).run()


class _Past:
    def __init__(self, b: Builder, past: Past) -> None:
        self.b, self.past = b, past
        self.now = b.up(past.now)
        self.known: dict[Point, int] = {Point(HORIZON_START): 0,
                                        Point(HORIZON_END): b.calendar.horizon}  # fmt: skip
        """Moments that are past, ticks."""

    def run(self) -> None:
        b = self.b
        begun = {task.id: task for task in self.past.tasks}
        for record in b.records:
            task = begun.get(record.id)
            if task is None:
                for part in record.parts.values():
                    self._not_before(part)
            else:
                self._task(record, task)
        self._fixed()
        self._holds()
        b.links = [self._as_it_was(link) for link in b.links]
        b.changes = Changes(tuple(self._jobs()), self.now)

    def _not_before(self, task: int) -> None:
        one = self.b.tasks[task]
        if not self.b.batches[one.batch][2]:
            self.b.tasks[task] = replace(one, earliest=max(one.earliest, self.now))

    def _pin(self, task: int, start: int, end: int | None) -> None:
        """That part began then, and is over at `end`; None: it is open when."""
        b, one = self.b, self.b.tasks[task]
        self.known[Point(task)] = start
        b.link(Point(HORIZON_START), Point(task), start, start)
        if end is None:
            least, most = max(one.least, self.now - start), max(one.most, self.now - start)
            latest = max(one.latest, start + least)
        else:
            self.known[Point(task, True)] = end
            least = most = end - start
            latest = end
        b.tasks[task] = replace(
            one, least=least, most=most, earliest=start, latest=latest, within=None,
        )

    # -- tasks -------------------------------------------------------------------------

    def _task(self, record: TaskRecord, was: PlannedTask) -> None:
        b = self.b
        tick = b.down
        over = tick(was.law_end) if was.stopped is None else tick(was.stopped)
        spans = {
            "load": (tick(was.start), tick(was.law_start)),
            "run": (tick(was.law_start), over),
            "unload": (tick(was.law_end), tick(was.end)),
        }
        if was.resumed is not None:
            spans["on"] = (tick(was.resumed), tick(was.law_end))
        manned = {b.crews[v.item].task for v in record.visits if v.kind in BY_HAND}
        begun: set[int] = set()
        if record.began is not None:
            spans["run"] = b.calendar.now, over
        for part, task in record.parts.items():
            start, end = spans.get(part, (self.now, self.now))
            if start >= self.now:
                self._not_before(task)
                continue
            begun.add(task)
            open_ = end > self.now and task not in manned and record.id not in self.past.settled
            self._pin(task, start, None if open_ else end)
        if "on" in record.parts and record.parts["run"] in begun:
            self._added(record, was)
        for visit in record.visits:
            self._visit(record, visit, was, begun)
        for one in record.taken:
            if one.start.task in begun:
                self._on(one, was.taken)

    def _visit(
        self, record: TaskRecord, visit: VisitRecord, was: PlannedTask, begun: set[int]
    ) -> None:
        b = self.b
        if visit.task not in begun:
            if visit.kind == "tend" and "on" in record.parts:
                self._before_the_break(visit, was)
            return
        made = [v for v in was.visits if v.kind == visit.kind and b.down(v.start) < self.now]
        start = self.known[Point(visit.task)]
        if visit.kind == "tend":
            several = sum(v.kind == "tend" for v in record.visits) > 1
            mine = [v for v in made if not several or v.verb == visit.verb]
            self._tended(visit.item, start, mine)
        elif visit.kind == "add":
            self._add(visit.item, start, [v for v in made if v.index == visit.index])
        else:
            at_it = next((v for v in made if b.down(v.start) == start), None)
            if at_it is not None:
                length = b.tasks[visit.task].least
                b.crews[visit.item] = self._crew(b.crews[visit.item], at_it, length)
                for taken in visit.taken:
                    self._on(taken, at_it.taken)

    def _add(self, item: int, start: int, made: Sequence[PlannedVisit]) -> None:
        """What has been added stays so; what has not is added no earlier than now."""
        b, add = self.b, self.b.adds[item]
        b.adds[item] = replace(add, least=max(add.least, min(add.most, self.now - start)))
        for one in made:
            at = b.down(one.start) - start
            b.adds[item] = replace(
                add, least=at, most=at, lines=self._lines(one.people),
                length=b.down(one.end - one.start),
            )

    def _before_the_break(self, visit: VisitRecord, was: PlannedTask) -> None:
        """Visits to a step that was broken off stay; it is tended anew from where it goes on."""
        made = [v for v in was.visits if v.kind == "tend" and self.b.down(v.start) < self.now]
        self.b.tends[visit.item] = replace(
            self.b.tends[visit.item], made=self._placed(made), earliest=self.now,
        )

    def _added(self, record: TaskRecord, was: PlannedTask) -> None:
        """What was added before a step was broken off stays added."""
        b, run = self.b, record.parts["run"]
        start = self.known[Point(run)]
        for v in was.visits:
            if v.kind == "add" and b.down(v.start) < self.now:
                at, length = b.down(v.start) - start, b.down(v.end - v.start)
                b.adds.append(Add(run, length, self._lines(v.people), at, at))
                record.visits.append(VisitRecord("add", len(b.adds) - 1, run, v.index, v.verb))

    def _placed(self, visits: Sequence[PlannedVisit]) -> tuple[Placed, ...]:
        b = self.b
        return tuple(Placed(b.down(v.start), b.down(v.end), self._who(v.people)) for v in visits)

    def _tended(self, item: int, start: int, visits: Sequence[PlannedVisit]) -> None:
        """Visits that have been made stay; what is asked goes on from the last of them."""
        b = self.b
        tend = b.tends[item]
        made = self._placed(visits)
        since = start - made[-1].end if made else tend.since
        windows = tuple(
            (max(x, self.now), z)
            for x, z in tend.windows
            if not any(x <= v.start and v.end <= z for v in made)
            and z - max(x, self.now) >= tend.length
        )
        b.tends[item] = replace(
            tend, since=since if tend.gap is not None else 0, windows=windows, made=made,
            earliest=self.now,
        )

    def _who(self, people: Sequence[str]) -> tuple[int, ...]:
        return tuple(self.b.person[p] for p in people)

    def _lines(self, people: Sequence[str]) -> tuple[Line, ...]:
        return tuple(Line((p,)) for p in self._who(people))

    def _crew(self, crew: Crew, visit: PlannedVisit, length: int) -> Crew:
        """These people for that long; it costs what it cost."""
        taken = way_taken(crew, self._who(visit.people), length)
        way = Way(self._lines(visit.people), min(length, taken.least if taken else length),
                  length, taken.price if taken else 0)  # fmt: skip
        return replace(crew, ways=(way,))

    # -- on what, and where ----------------------------------------------------------------

    def _on(self, one: Occupied, taken: Sequence[Taken]) -> None:
        """It is taken as it was: that unit, at that setting."""
        choice = self.b.uses[one.use].choice
        there = [t for t in taken if t.need == one.need]
        options = tuple(
            o for o in self.b.choices[choice].options if any(self._is(o, t) for t in there)
        )
        if options:
            self.b.choices[choice] = Choice(self.b.choices[choice].batch, options)

    def _is(self, option: Option, taken: Taken) -> bool:
        holder = self.b.holders[option.resource]
        states = self.b.resources[option.resource].states
        if taken.store is not None:
            return taken.store == holder.store
        if taken.unit != holder.unit and taken.unit not in holder.units:
            return False
        set_to = None if option.state is None or not states else states[option.state]
        return set_to is None or set_to == (taken.mode, taken.celsius)

    def _holds(self) -> None:
        b = self.b
        keys = ("kind", "source", "step", "load", "consumer", "by_product")
        stores = {tuple(getattr(h, k) for k in keys): h.store for h in self.past.holds}
        for record in b.holds:
            store = stores.get(tuple(getattr(record, k) for k in keys))
            if record.use is None or store is None or record.start not in self.known:
                continue
            choice = b.uses[record.use].choice
            options = tuple(
                o for o in b.choices[choice].options if b.holders[o.resource].store == store
            )
            if options:
                b.choices[choice] = Choice(b.choices[choice].batch, options)

    def _fixed(self) -> None:
        """Duties and breaks that had begun."""
        b = self.b
        duties = {d.id: d for d in self.past.duties}
        for duty in b.duties:
            was = duties.get(duty.id)
            if was is not None and duty.crew is not None and was.people:
                crew = b.crews[duty.crew]
                lines = self._lines(was.people)
                ways = tuple(replace(way, lines=lines) for way in crew.ways[:1])
                b.crews[duty.crew] = replace(crew, ways=ways)
        breaks = {p.id: p for p in self.past.breaks}
        for pause in b.breaks:
            task, there = b.tasks[pause.task], breaks.get(pause.id)
            if there is not None:
                start, end = b.down(there.start), b.down(there.end)
                b.tasks[pause.task] = replace(
                    task, least=end - start, most=end - start, earliest=start, latest=end,
                )
            elif task.latest - self.now >= task.least:
                earliest = max(task.earliest, self.now)
                b.tasks[pause.task] = replace(task, earliest=earliest)

    def _as_it_was(self, link: Link) -> Link:
        """What was late, or early, broke what it broke: between two past moments nothing is asked.
        """
        before, after = self.known.get(link.before), self.known.get(link.after)
        if before is None or after is None or HORIZON_START in (link.before.task, link.after.task):
            return link
        x = after - before
        least = link.least if link.least is None or x >= link.least else None
        most = link.most if link.most is None or x <= link.most else None
        return link if (least, most) == (link.least, link.most) else replace(
            link, least=least, most=most
        )

    # -- where all else was -------------------------------------------------------------------

    def _jobs(self) -> list[JobWas]:
        """Every job that had not begun, and those that are no more."""
        b = self.b
        was = {w.task: w for w in self.past.was}
        begun = {t.id for t in self.past.tasks} | {d.id for d in self.past.duties}
        found = []
        for record in b.records:
            if record.id in begun:
                continue
            at, visits = was.pop(record.id, None), record.visits
            crews = tuple(v.item for v in visits if v.kind in BY_HAND)
            tends = tuple(v.item for v in visits if v.kind == "tend")
            adds = tuple(v.item for v in visits if v.kind == "add")
            found.append(
                JobWas(
                    b.batch_index[record.batch], first(record).task, crews, tends, adds,
                    None if at is None else b.down(at.start), self._those(at),
                )
            )
        manned = {d.id for d in b.scenario.kitchen.duties if d.people}
        for duty in b.duties:
            if duty.duty not in manned or duty.id in begun:
                continue
            at = was.pop(duty.id, None)
            start = None if at is None else b.down(at.start)
            crews = () if duty.crew is None else (duty.crew,)
            batch = b.tasks[duty.task].batch
            found.append(JobWas(batch, duty.task, crews, (), (), start, self._those(at)))
        for at in was.values():
            found.append(JobWas(-1, -1, (), (), (), b.down(at.start), self._those(at)))
        return found

    def _those(self, was: object) -> frozenset[int]:
        people = getattr(was, "people", ())
        return frozenset(self.b.person[p] for p in people if p in self.b.person)

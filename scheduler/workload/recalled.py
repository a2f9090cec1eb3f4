"""From a plan back to an engine's answer: the way of `assemble`, backwards.

The plan may be an older one, of a week that has changed since. What no longer
can be said (a step more, a time off the grid, a unit that is gone) is left
out, a batch at a time; whether the rest still may stand is not asked here.
"""

from __future__ import annotations

from itertools import permutations
from typing import TYPE_CHECKING

from scheduler.workload.primitives import Placed, Solution, way_taken

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from scheduler.plan.model import Plan, PlannedVisit, Taken
    from scheduler.workload.compiled import Compiled, Occupied, TaskRecord, VisitRecord
    from scheduler.workload.primitives import Option

FEW = 5
"""So many people are put in any order to find the lines they stand in."""


class _Gone(Exception):
    """Something that cannot be said any more."""


def recalled(compiled: Compiled, plan: Plan) -> Solution:
    """What of a plan can still be said of a compiled week."""
    return _Recalled(compiled, plan).run()


class _Recalled:
    def __init__(self, compiled: Compiled, plan: Plan) -> None:
        self.compiled, self.problem = compiled, compiled.problem
        self.plan = plan
        self.grid = compiled.problem.grid
        self.person = {name: n for n, (name, _) in enumerate(compiled.problem.people)}
        self.tasks = {task.id: task for task in plan.tasks}
        self.times: dict[int, tuple[int, int]] = {}
        self.chosen: dict[int, int] = {}
        self.crews: dict[int, tuple[int, ...]] = {}
        self.tends: dict[int, tuple[Placed, ...]] = {}
        self.adds: dict[int, Placed] = {}

    def run(self) -> Solution:
        gone = set()
        for record in self.compiled.tasks:
            try:
                self._task(record)
            except _Gone:
                gone.add(self.compiled.batch[record.batch])
        for duty in self.plan.duties:
            self._fixed(duty.id, duty.start, duty.end, duty.people)
        for pause in self.plan.breaks:
            self._fixed(f"break/{pause.id}", pause.start, pause.end, (pause.person,))
        self._holds()
        for b in gone:
            for t in self.problem.batches[b].tasks:
                self.times.pop(t, None)
        here = {b for b, batch in enumerate(self.problem.batches) if self._whole(batch.tasks)}
        self.times = {t: x for t, x in self.times.items() if self.problem.tasks[t].batch in here}
        for use in self.problem.uses:
            if use.batch in here:  # what is too short for shelves has been in no store
                self.chosen.setdefault(use.choice, 0)
        problem, choices = self.problem, {u.choice for u in self.problem.uses if u.batch in here}
        return Solution(
            self.times,
            {c: o for c, o in self.chosen.items() if c in choices},
            {n: x for n, x in self.crews.items() if problem.crews[n].task in self.times},
            {n: x for n, x in self.tends.items() if problem.tends[n].task in self.times},
            {n: x for n, x in self.adds.items() if problem.adds[n].task in self.times},
            self._cleans(here),
        )

    def _whole(self, tasks: Sequence[int]) -> bool:
        return all(t in self.times for t in tasks)

    def _tick(self, minute: int) -> int:
        tick, off = divmod(minute, self.grid)
        if off:
            raise _Gone
        return tick

    def _who(self, people: Iterable[str]) -> tuple[int, ...]:
        try:
            return tuple(self.person[name] for name in people)
        except KeyError:
            raise _Gone from None

    # -- tasks -----------------------------------------------------------------------

    def _task(self, record: TaskRecord) -> None:
        task = self.tasks.get(record.id)
        if task is None:
            raise _Gone
        began = self.problem.now if record.began is not None else self._tick(task.law_start)
        over = task.law_end if task.stopped is None else task.stopped
        spans = {
            "load": (self._tick(task.start) if "load" in record.parts else began, began),
            "run": (began, self._tick(over)),
            "unload": (self._tick(task.law_end), self._tick(task.end)),
        }
        if task.resumed is not None:
            spans["on"] = self._tick(task.resumed), self._tick(task.law_end)
        for part, t in record.parts.items():
            if part not in spans:
                raise _Gone  # broken off since: nobody knows yet where it goes on
            self.times[t] = spans[part]
        self._options(record.taken, task.taken)
        tends = [v for v in record.visits if v.kind == "tend"]
        for visit in record.visits:
            found = [v for v in task.visits if v.kind == visit.kind]
            if visit.kind == "hands":
                found = [v for v in found if v.index == visit.index]
            if visit.kind == "tend":
                self.tends[visit.item] = tuple(
                    self._placed(v) for v in found if len(tends) == 1 or v.verb == visit.verb
                )
            elif visit.kind == "add":
                at = next((v for v in found if v.index == visit.index), None)
                if at is None:
                    raise _Gone
                self.adds[visit.item] = self._placed(at)
            elif len(found) != 1:
                raise _Gone
            else:
                self.crews[visit.item] = self._crew(visit, self._who(found[0].people))
                self._options(visit.taken, found[0].taken)

    def _placed(self, visit: PlannedVisit) -> Placed:
        return Placed(self._tick(visit.start), self._tick(visit.end), self._who(visit.people))

    def _crew(self, visit: VisitRecord, people: tuple[int, ...]) -> tuple[int, ...]:
        """They may stand in other lines by now: in whichever order fits."""
        crew = self.problem.crews[visit.item]
        start, end = self.times[visit.task]
        for order in permutations(people) if len(people) <= FEW else [people]:
            if way_taken(crew, order, end - start) is not None:
                return order
        return people

    def _options(self, occupied: Sequence[Occupied], taken: Sequence[Taken]) -> None:
        """The option of each use that is on what was taken for its need."""
        left = list(taken)
        for one in occupied:
            choice = self.problem.uses[one.use].choice
            options = self.problem.choices[choice].options
            for at in [t for t in left if t.need == one.need]:
                o = next((o for o, option in enumerate(options) if self._is(option, at)), None)
                if o is not None:
                    self.chosen[choice] = o
                    left.remove(at)
                    break
            else:
                start, end = self.problem.uses[one.use].start, self.problem.uses[one.use].end
                if len(options) > 1 and start != end:
                    raise _Gone

    def _is(self, option: Option, taken: Taken) -> bool:
        """Is an option what was taken, at the setting it had?"""
        holder = self.compiled.holders[option.resource]
        here = (taken.store is not None and taken.store == holder.store) or (
            taken.unit is not None and (taken.unit == holder.unit or taken.unit in holder.units)
        )
        states = self.problem.resources[option.resource].states
        if not here or option.state is None or not states:
            return here
        return states[option.state] == (taken.mode, taken.celsius)

    # -- all else -----------------------------------------------------------------------

    def _fixed(self, name: str, start: int, end: int, people: Sequence[str]) -> None:
        """A duty or a break with its people; what it takes is for whoever places it."""
        b = self.compiled.batch.get(name)
        if b is None or self._picks(b):
            return
        (t,) = self.problem.batches[b].tasks
        crew = next((n for n, c in enumerate(self.problem.crews) if c.task == t), None)
        try:
            span, task = (self._tick(start), self._tick(end)), self.problem.tasks[t]
            length = span[1] - span[0]
            if span[0] < task.earliest or span[1] > task.latest or length < task.least:
                return  # other hours by now
            self.times[t] = span
            if crew is not None:
                self.crews[crew] = self._who(people)
        except _Gone:
            self.times.pop(t, None)

    def _picks(self, b: int) -> bool:
        """Has it several things to choose from? The plan does not say which a duty has."""
        return any(c.batch == b and len(c.options) > 1 for c in self.problem.choices)

    def _holds(self) -> None:
        """The store each thing waits in."""
        key = ("kind", "source", "step", "load", "consumer", "by_product")
        stores = {tuple(getattr(h, k) for k in key): h.store for h in self.plan.holds}
        for record in self.compiled.holds:
            store = stores.get(tuple(getattr(record, k) for k in key))
            if record.use is None or store is None:
                continue
            choice = self.problem.uses[record.use].choice
            for o, option in enumerate(self.problem.choices[choice].options):
                if self.compiled.holders[option.resource].store == store:
                    self.chosen[choice] = o
                    break

    def _cleans(self, here: set[int]) -> dict[int, Placed]:
        """Clean-downs, each after the use that it followed."""
        found: dict[int, Placed] = {}
        records = {record.id: record for record in self.compiled.tasks}
        for clean in self.plan.clean_downs:
            record = records.get(clean.after)
            if record is None or self.compiled.batch[record.batch] not in here:
                continue
            for one in (*record.taken, *(t for v in record.visits for t in v.taken)):
                choice = self.problem.uses[one.use].choice
                option = self.problem.choices[choice].options[self.chosen[choice]]
                holder = self.compiled.holders[option.resource]
                if clean.unit == holder.unit or clean.unit in holder.units:
                    try:
                        start, end = self._tick(clean.start), self._tick(clean.end)
                        found[one.use] = Placed(start, end, self._who(clean.people))
                    except _Gone:
                        pass
                    break
        return found



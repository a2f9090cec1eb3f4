"""Why a set of batches cannot be placed together, in a chef's words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.hazards import met_in
from scheduler.workload.asked import hands_asked, said, step_of
from scheduler.workload.barred import named_bars
from scheduler.workload.words import lasting, moment, span

if TYPE_CHECKING:
    from collections.abc import Collection

    from scheduler.domain.scenario import Scenario
    from scheduler.workload.compiled import Compiled, TaskRecord
    from scheduler.workload.model import Workload
    from scheduler.workload.starts import Nobody
    from scheduler.workload.windows import Bounds, Net

class Diagnosis:
    """Finds the sentence for batches that the windows have no room for."""

    def __init__(
        self, scenario: Scenario, workload: Workload, compiled: Compiled, net: Net
    ) -> None:
        self.scenario = scenario
        self.work = workload.batch
        self.compiled = compiled
        self.problem = compiled.problem
        self.grid = compiled.problem.grid
        self.net = net
        self.record = {t: r for r in compiled.tasks for t in r.parts.values()}

    def why(self, batch: int, together: Collection[int], bounds: Bounds) -> str:
        """Why `batch` has no place in a set of batches whose bounds met.

        Tried in turn: an ingredient that does not come; nobody for one of its
        tasks; links that contradict each other; too late to begin; nobody in
        the window that is left.
        """
        return (
            self._not_delivered(batch)
            or self._nobody(batch, together)
            or self._circle(bounds)
            or self._too_late(batch, together)
            or self._window(batch, together, bounds)
            or "its waits, limits and the hours of those who may do it leave no moment for it"
        )

    # -- one by one ------------------------------------------------------------------

    def _not_delivered(self, batch: int) -> str:
        name = self.problem.batches[batch].id
        for (of, _, _), (ingredient, _) in self.compiled.short.items():
            if of == name:
                return f"not enough {ingredient} is in house or delivered this week"
        return ""

    def _nobody(self, batch: int, together: Collection[int]) -> str:
        for t in self.problem.batches[batch].tasks:
            found, why = self.net.starts.task(t)
            if not found and why is not None:
                free = self.net.tighten(together, people=False)
                if free.stuck is None:
                    # The same, said of the time that links leave for it.
                    _, here = self.net.starts.between(t, free.lo[2 * t], free.hi[2 * t])
                    why = here if here is not None and here.kind == why.kind else why
                return self._absent(t, why)
        return ""

    def _absent(self, t: int, why: Nobody) -> str:
        record, length = self.record[t], lasting(why.length * self.grid)
        crew = self._hands(record, t, why)
        if why.kind == "house" and any(crew.task == t for crew in self.problem.crews):
            return f"no day on which {record.step} may be done has {length} for it"
        if why.kind == "house":
            return (
                f"{record.step} may not run with the house empty, and never is somebody on shift "
                f"for {length}"
            )
        if why.kind == "tending" and why.gap is not None:
            gap = span(self.scenario, why.gap[0] * self.grid, why.gap[1] * self.grid)
            return f"{record.step} must be tended; nobody who may do it ({crew}) comes {gap}"
        if why.kind == "window" and why.gap is not None:
            gap = span(self.scenario, why.gap[0] * self.grid, why.gap[1] * self.grid)
            return f"{record.step} must be tended {gap}, and nobody who may do it ({crew}) is there"
        if any(not line.people for line in why.lines):
            return f"nobody may do {record.step}: it asks for {crew}"
        return f"nobody on shift may do {record.step}: it asks for {crew} for {length}"

    def _circle(self, bounds: Bounds) -> str:
        names = dict.fromkeys(
            self.record[t].id for t in bounds.cycle if t in self.record
        )
        if not names:
            return ""
        return f"its waits and limits contradict each other: {', '.join(names)}"

    def _too_late(self, batch: int, together: Collection[int]) -> str:
        """Walk back from service without anybody's hours: is its latest start behind us?"""
        back = self.net.tighten(together, people=False, backwards=True)
        if back.stuck is not None:
            return ""
        for t in self.problem.batches[batch].tasks:
            task, latest = self.problem.tasks[t], back.hi[2 * t]
            if latest >= task.earliest:
                continue
            by = moment(self.scenario, latest * self.grid)
            record, anew = self.record[t], self.problem.changes
            if anew is not None and task.earliest <= anew.now:
                now = moment(self.scenario, anew.now * self.grid)
                goes = "go on" if "on" in record.parts else "begin"
                return f"{record.step} must {goes} by {by}, and it is {now} by now"
            if task.earliest > self.problem.now:
                comes = moment(self.scenario, task.earliest * self.grid)
                what = " and ".join(self._ingredients(record)) or "what it takes"
                return f"{record.step} must begin by {by}, but {what} comes {comes}"
            early = lasting((self.problem.now - latest) * self.grid)
            return f"must begin by {by}, {early} before planning begins{self._works(together)}"
        return ""

    def _works(self, together: Collection[int]) -> str:
        """The earliest moment of service for which there would still be time."""
        ahead = self.net.tighten(together, deadlines=False)
        events = {e.id: e for e in self.scenario.week.events}
        later: dict[str, int] = {}
        for b in together:
            batch = self.problem.batches[b]
            kind, _, rest = batch.id.partition("/")
            event = rest.partition("/")[0]
            if batch.fixed and kind == "service" and event in events:
                # By so much the whole event moves: a course may be long after its first plate.
                t = batch.tasks[0]
                late = ahead.lo[2 * t] - self.problem.tasks[t].earliest
                later[event] = max(later.get(event, 0), late)
        if not later:
            return ""
        event, late = max(later.items(), key=lambda e: e[1])
        clock = self.scenario.clock
        works = clock.minute(events[event].first_plate) + late * self.grid
        if ahead.stuck is not None or works >= clock.horizon:
            return f"; {event} not within this week"
        return f"; {event} at the earliest {moment(self.scenario, works)}" if late > 0 else ""

    def _window(self, batch: int, together: Collection[int], bounds: Bounds) -> str:
        """Nobody who may do it in the window that links leave for one of its tasks."""
        free = self.net.tighten(together, people=False)
        if free.stuck is not None:
            return ""
        mine = self.problem.batches[batch].tasks
        for t in sorted(mine, key=lambda t: t != bounds.stuck):
            low, high = free.lo[2 * t], free.hi[2 * t]
            found, _ = self.net.starts.task(t)
            if any(a <= high and b >= low for a, b in found):
                continue
            record = self.record[t]
            _, why = self.net.starts.between(t, low, high)
            if why is not None and why.kind in ("tending", "window"):
                return self._absent(t, why)
            where = span(
                self.scenario, low * self.grid, (high + self.problem.tasks[t].least) * self.grid
            )
            crew = self._hands(record, t, None)
            if crew:
                return f"nobody for {record.step} ({crew}) {where}, the only time for it"
            return f"{record.step} has only {where}, when it may not run (house empty, or untended)"
        return ""

    # -- words ---------------------------------------------------------------------------

    def _ingredients(self, record: TaskRecord) -> list[str]:
        """What a task takes that is delivered this week."""
        batch = self.work[record.batch]
        step = step_of(batch, record.step)
        takes = step.takes if step else self.scenario.dish[batch.dish or ""].takes
        late = {d.ingredient for d in self.scenario.week.deliveries}
        return [t.ingredient for t in takes if t.ingredient in late]

    def _hands(self, record: TaskRecord, t: int, why: Nobody | None) -> str:
        """Whose hands a primitive task asks for: "2 of sauce, 1 of larder (lead)"."""
        part = next(name for name, task in record.parts.items() if task == t)
        kind = {"run": "hands", "on": "hands"}.get(part, part)
        if why is not None and why.kind in ("tending", "window"):
            kind = "tend"
        elif why is not None and why.kind == "adding":
            kind = "add"
        asked = said(*hands_asked(self.scenario, self.work[record.batch], record.step, kind))
        step = step_of(self.work[record.batch], record.step)
        barred = named_bars(self.scenario, met_in(self.scenario, step)) if step else ""
        return f"{asked}, of age for {barred}" if asked and barred else asked

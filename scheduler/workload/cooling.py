"""Cooling steps that take over from each other: from the start of a window's clock to its end.

How long one step may last for its limit stands in its range (`steps.py`); here are the links over
several, through waits, loads and what one batch takes of another.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.domain.cooled import (
    between_counts,
    hard_limit,
    heats,
    part_of,
    runs_on,
)
from scheduler.domain.cooling import NOISE
from scheduler.domain.times import write_duration
from scheduler.workload.builder import last
from scheduler.workload.chains import passes_on
from scheduler.workload.primitives import HORIZON_START, Point

if TYPE_CHECKING:
    from fractions import Fraction

    from scheduler.domain.cooling import CoolDown
    from scheduler.domain.limits import Cooling, Fall, Kept
    from scheduler.workload.builder import Builder, Built
    from scheduler.workload.compiled import TaskRecord
    from scheduler.workload.model import Stage, WorkShare


@dataclass(frozen=True, slots=True)
class Clock:
    """One window's clock of food that goes on cooling.

    Attributes
    ----------
    start : Point
        What it is counted from.
    since : int
        So many minutes after that; of what runs already when planning begins, its start.
    free : float
        Minutes from there which lie before the window at least.
    least : int
        Minutes that are gone at least when the last step so far is over.
    """

    start: Point
    since: int
    free: float
    least: int


@dataclass(frozen=True, slots=True)
class Open:
    """Food that has begun to cool: how warm it was when its last step ended, and its clocks.

    `at` is None where it was hot and is out since; `idle`: minutes since then at least.
    """

    at: Fraction | None
    end: Point
    clocks: tuple[tuple[Fall, Clock], ...]
    since: str
    idle: int = 0

    def later(self, ticks: int, grid: int) -> Open:
        """The same after so many ticks more at least."""
        return replace(self, idle=self.idle + ticks * grid)


@dataclass(frozen=True, slots=True)
class _Row:
    """A link to be: minutes from a start to an end at most."""

    start: Point
    end: Point
    since: int
    most: float
    least: int
    where: str
    said: str


def add_cooling(b: Builder) -> None:
    """A link for every window of a hard limit that lies over several steps.

    end of the last step - start of the first <= the window, and what these two have outside of it
    at their shortest. Of steps with a range that may be too strict; it is exact where all are as
    short as they can be, so nothing is refused that could be done.
    """
    if any(s.step.cooling for built in b.built.values() for s, _ in built.stages):
        _Rows(b).add()


def _out(some: list[Open], kept: Kept) -> list[Open]:
    """What was hot and has been kept hot or cold meanwhile is not on the bench any more."""
    return some if kept == "out" else [one for one in some if one.at is not None]


class _Rows:
    """Goes through the week in the direction of the food."""

    def __init__(self, b: Builder) -> None:
        self.b, self.limits = b, b.exposing.limits
        self.taken: dict[str, list[WorkShare]] = {}
        for share in b.work.shares:
            if share.source in b.built:
                self.taken.setdefault(share.consumer, []).append(share)
        self.after: dict[str, list[Open]] = {}
        self.walked: set[str] = set()
        self.rows: dict[tuple[Fall, Point, Point], _Row] = {}

    def add(self) -> None:
        for built in self.b.built.values():
            self._walk(built)
        for row in self.rows.values():
            self._link(row)

    def _walk(self, built: Built) -> None:
        if built.batch.id in self.walked:
            return
        self.walked.add(built.batch.id)
        for share in self.taken.get(built.batch.id, ()):
            self._walk(self.b.built[share.source])
        b, before = self.b, None
        for stage, tasks in built.stages:
            for n, task in enumerate(tasks):
                found: list[Open] = []
                if before is not None:
                    pairwise = passes_on(before[0], stage)
                    earlier = [before[1][n]] if pairwise else before[1]
                    wait = before[0].step.then
                    ticks = 0 if wait is None else b.up(wait.not_before)
                    kept = b.exposing.waits(b.maker(built.batch), before[0].step)
                    since = [o for t in earlier for o in _out(self.after[t.id], kept)]
                    found += [o.later(ticks, b.grid) for o in since]
                found += self._taken(built, stage)
                # One way of it is enough: what it has to wait at least on any.
                some = {one.end: one for one in sorted(found, key=lambda o: -o.idle)}
                self.after[task.id] = self._step(built, stage, task, list(some.values()))
            before = stage, tasks

    def _parts(self, task: TaskRecord, kinds: tuple[str, ...]) -> int:
        """Ticks that some parts of a task take at least."""
        return sum(self.b.tasks[t].least for kind, t in task.parts.items() if kind in kinds)

    def _taken(self, built: Built, stage: Stage) -> list[Open]:
        """What goes in and still cools."""
        found: list[Open] = []
        for share in self.taken.get(built.batch.id, ()):
            if share.step != stage.step.id:
                continue
            source = self.b.built[share.source]
            ticks = self.b.up(self.b.scenario.component[share.component].keeps[0].not_before)
            tasks = source.task(share.given) if share.given else source.stages[-1][1]
            component = self.b.scenario.component[share.component]
            kept = self.b.exposing.zone(component.keeps[0].zone, component)
            found += [
                o.later(ticks, self.b.grid)
                for task in tasks
                for o in _out(self.after.get(task.id, []), kept)
            ]
        return found

    def _step(
        self, built: Built, stage: Stage, task: TaskRecord, before: list[Open]
    ) -> list[Open]:
        """What still cools when a task is over; its rows are noted."""
        step, scenario = stage.step, self.b.scenario
        if step.cooling is None:
            ticks = self._parts(task, ("load", "run", "unload"))
            if heats(scenario, step, self.limits):
                return [Open(None, last(task), (), task.id)]
            kept = self.b.exposing.runs(self.b.maker(built.batch), step)
            return [o.later(ticks, self.b.grid) for o in _out(before, kept)]
        limit = hard_limit(scenario, self.b.maker(built.batch), step.id)
        if limit is None:
            return []
        run = task.parts["run"]
        ticks = self._parts(task, ("load",))
        before = [
            o.later(ticks, self.b.grid) for o in before if runs_on(o.at, step.cooling, limit)
        ]
        clocks: list[tuple[Fall, Clock]] = []
        for fall in limit.windows:
            clocks += self._window(fall, limit, step.cooling, task, before)
        since = before[0].since if before else task.id
        open_ = Open(step.cooling.end, Point(run, True), tuple(dict.fromkeys(clocks)), since)
        return [open_.later(self._parts(task, ("unload",)), self.b.grid)]

    def _window(
        self, fall: Fall, limit: Cooling, cool: CoolDown, task: TaskRecord, before: list[Open]
    ) -> list[tuple[Fall, Clock]]:
        """The clocks of one window when a task is over."""
        b, run, part = self.b, task.parts["run"], part_of(cool, fall)
        length = b.tasks[run]
        begin, end = Point(run), Point(run, True)
        gone = 0
        if task.began is not None:
            gone = b.calendar.now * b.grid - task.began
        least = length.least * b.grid + gone
        found: list[tuple[Fall, Clock]] = []
        for one in before:
            counts = between_counts(one.at, cool, fall)
            known = [clock for f, clock in one.clocks if f == fall]
            if not known and counts:
                known = [Clock(one.end, 0, 0.0, 0)]
            for clock in known if counts else ():
                self.rows.pop((fall, clock.start, one.end), None)
                most, done, stop = fall.within + clock.free, clock.least + one.idle, begin
                if part.inside > 0:
                    most, done, stop = most + part.after * least, done + least, end
                said = f"with {one.since} and what lies between: {fall} ({limit.source})"
                self.rows[fall, clock.start, stop] = _Row(
                    clock.start, stop, clock.since, most, done, task.id, said
                )
                if cool.end > fall.end:
                    found.append((fall, replace(clock, least=done)))
        if not found and part.inside > 0 and cool.end > fall.end:
            start, since = begin, 0
            if task.began is not None:
                start, since = Point(HORIZON_START), task.began
            found.append((fall, Clock(start, since, part.before * least, least)))
        return found

    def _link(self, row: _Row) -> None:
        """The link, and each step in it no longer than the others leave it."""
        b = self.b
        if row.start.task == row.end.task:
            return
        most = int((row.since + row.most + NOISE) // b.grid)
        if row.least > row.most + NOISE:
            said = f"cools for {write_duration(row.least)} at least, {row.said}"
            b.complaints.add(row.where, said, "shorter steps")
        b.link(row.start, row.end, None, most)
        if row.start.task < 0:
            return
        shortest = -(-row.least // b.grid)
        for task in {row.start.task, row.end.task}:
            inside = task != row.start.task or not row.start.end
            inside = inside and (task != row.end.task or row.end.end)
            length = b.tasks[task]
            room = length.least + max(0, most - shortest)
            if inside and length.most > room:
                b.tasks[task] = replace(length, most=room)
                for n, crew in enumerate(b.crews):
                    if crew.task == task:
                        ways = tuple(
                            replace(w, most=min(w.most, room))
                            for w in crew.ways
                            if w.least <= room
                        )
                        b.crews[n] = replace(crew, ways=ways)

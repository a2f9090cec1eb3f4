"""What a kitchen does that only waits: who does what on which, and in what order, stays.

Batch by batch, in the order in which they go on, each keeps its times or is pushed to the right
until it fits beside those before it, as a whole or from one of its tasks on. What fits nowhere is
left out, and what only served it. No part of either engine is used: what fits says the tiny
auditor of the primitives (`solve.check`), after a quick look at who and what is taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.check import violations
from scheduler.solve.objective import takers
from scheduler.workload.primitives import HORIZON_END, HORIZON_START, Placed, Point, Solution
from scheduler.workload.recalled import recalled

if TYPE_CHECKING:
    from scheduler.plan.model import Past, Plan, PlannedTask, PlannedVisit
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.primitives import Problem

    Times = dict[int, tuple[int, int]]

READINGS = 12
"""Places of a batch that the auditor is asked about, at most …"""
FROM = 6
"""… pushed as a whole, or from one of so many tasks on."""
MANNINGS = 500
"""Ways to man a standing duty whose people are not there."""
ROUNDS = 200
NEEDLESS = "is followed by a clean-down that nothing calls for"
"""What the auditor says while what follows is not there yet."""


def right_shifted(compiled: Compiled, older: Plan, past: Past) -> Solution:
    """An older plan with what cannot stand where it was pushed to the right."""
    return _Shifting(compiled, recalled(compiled, going_on(older, past)), past).run()


def going_on(plan: Plan, past: Past) -> Plan:
    """An older plan in which what was broken off goes on now, on what and by whom it was."""
    broken = {b.task: b for b in past.broken_off}
    tasks = []
    for task in plan.tasks:
        one = broken.get(task.id)
        if one is not None and task.resumed is None:
            task = _resumed(task, one.stopped, one.done, past.now)
        tasks.append(task)
    return plan.model_copy(update={"tasks": tuple(tasks)})


def _resumed(task: PlannedTask, stopped: int, done: int, now: int) -> PlannedTask:
    until = now + max(0, task.law_end - task.law_start - done)
    by = until - task.law_end
    visits: list[PlannedVisit] = []
    for v in task.visits:
        if v.kind == "hands":
            visits.append(v.model_copy(update={"end": stopped}))
            visits.append(v.model_copy(update={"start": now, "end": until, "index": 1}))
        elif v.start >= stopped:
            visits.append(v.model_copy(update={"start": v.start + by, "end": v.end + by}))
        else:
            visits.append(v)
    was = [t.model_copy(update={"end": min(t.end, stopped)}) for t in task.taken]
    on = [t.model_copy(update={"start": now, "end": t.end + by}) for t in task.taken
          if t.end > stopped]  # fmt: skip
    return task.model_copy(
        update={"stopped": stopped, "resumed": now, "law_end": until, "end": task.end + by,
                "visits": tuple(visits), "taken": (*was, *on)}
    )  # fmt: skip


class _Shifting:
    def __init__(self, compiled: Compiled, older: Solution, past: Past) -> None:
        self.problem: Problem = compiled.problem
        self.older = older
        self.now = past.now // self.problem.grid
        self.had = older.placed(self.problem)
        self.busy = np.ones((len(self.problem.people), self.problem.horizon), dtype=bool)
        for p, (_, spells) in enumerate(self.problem.people):
            for start, end in spells:
                self.busy[p, max(0, start) : end] = False
        self.used = np.zeros((len(self.problem.resources), self.problem.horizon), dtype=np.int32)
        self.latest = self._latest()
        self.here = Solution()
        self.broken: set[str] = set()
        """What was broken before anything was pushed: not for a push to mend."""
        self.items: dict[str, dict[int, list[int]]] = {
            name: _by(
                (n, self.problem.tasks[one.task].batch)
                for n, one in enumerate(getattr(self.problem, name))
            )
            for name in ("crews", "tends", "adds")
        }
        self.uses = _by((n, use.batch) for n, use in enumerate(self.problem.uses))
        self.links = _by(
            (n, self.problem.tasks[t].batch)
            for n, link in enumerate(self.problem.links)
            for t in {link.before.task, link.after.task}
            if t >= 0
        )

    def run(self) -> Solution:
        """The older plan, pushed."""
        batches = self.problem.batches
        for b, batch in enumerate(batches):
            if batch.fixed:
                self._put(self._fixed(b))
        self.broken = set(violations(self.problem, self.here))
        for b in sorted(self.had, key=self._goes_on):
            if not batches[b].fixed:
                self._push(b)
        return self._served()

    def _latest(self) -> list[int]:
        """The latest end of each task that leaves what takes from it in time for its plate."""
        problem = self.problem
        end = [task.latest for task in problem.tasks]
        for _ in range(ROUNDS):
            changed = False
            for link in problem.links:
                t, after = link.before.task, link.after.task
                if t < 0 or after < 0 or link.least is None:
                    continue
                by = end[after] - (0 if link.after.end else problem.tasks[after].least) - link.least
                by += 0 if link.before.end else problem.tasks[t].most
                if by < end[t]:
                    end[t], changed = by, True
            if not changed:
                break
        return end

    def _goes_on(self, b: int) -> tuple[int, int]:
        """When a batch goes on: the first of its starts that is still to come."""
        starts = [self.older.times[t][0] for t in self.problem.batches[b].tasks]
        return min((s for s in starts if s >= self.now), default=-1), b

    # -- one batch -------------------------------------------------------------------------

    def _push(self, b: int) -> None:
        """At its time, or pushed as little as may be."""
        readings = 0
        for times in self._pushed(b):
            found = self._moved(b, times)
            if not self._free(found):
                continue
            readings += 1
            if not self._new(b, violations(self.problem, _both(self.here, found))):
                self._put(found)
                return
            if readings > READINGS:
                return

    def _pushed(self, b: int) -> Iterator[Times]:
        """Its times, pushed by more and more from one of its tasks on."""
        tasks = self.problem.batches[b].tasks
        was = {t: self.older.times[t] for t in tasks}
        yield was
        coming = [t for t in tasks if was[t][0] >= self.now]
        some = coming[:: max(1, len(coming) // FROM)]
        most = 1 + max((self.latest[t] - was[t][1] for t in coming), default=0)
        for by in range(1, most):
            for first in reversed(some):
                pushed = coming[coming.index(first) :]
                start = was | {t: (was[t][0] + by, was[t][1] + by) for t in pushed}
                times = self._tied(b, start)
                if times is not None:
                    yield times

    def _tied(self, b: int, times: Times) -> Times | None:
        """What links push along; None where they cannot all hold."""
        problem = self.problem
        for _ in range(ROUNDS):
            changed = False
            for n in self.links.get(b, ()):
                link = problem.links[n]
                before, after = self._at(link.before, times), self._at(link.after, times)
                if before is None or after is None:
                    continue
                lacks = 0 if link.least is None else link.least - (after - before)
                late = 0 if link.most is None else after - before - link.most
                if lacks > 0 or late > 0:
                    point, by = (link.after, lacks) if lacks > 0 else (link.before, late)
                    if not self._later(point, by, times):
                        return None
                    changed = True
            if not changed:
                return times
        return None

    def _later(self, point: Point, by: int, times: Times) -> bool:
        """Push an endpoint: an end by itself where its task may be longer, otherwise the task."""
        if point.task not in times:
            return False
        task, (start, end) = self.problem.tasks[point.task], times[point.task]
        if point.end and end - start + by <= task.most:
            times[point.task] = start, end + by
        elif start >= self.now:
            times[point.task] = start + by, end + by
        else:
            return False
        return times[point.task][1] <= self.latest[point.task]

    def _at(self, point: Point, times: Times) -> int | None:
        if point.task in (HORIZON_START, HORIZON_END):
            return 0 if point.task == HORIZON_START else self.problem.horizon
        found = times.get(point.task) or self.here.times.get(point.task)
        return None if found is None else found[point.end]

    def _moved(self, b: int, times: Times) -> Solution:
        """The batch at these times: its people and what it is on stay, visits go along."""
        older, by = self.older, {t: x[0] - self.older.times[t][0] for t, x in times.items()}

        def later(visit: Placed, task: int) -> Placed:
            past = visit.start < self.now
            return visit if past else replace(
                visit, start=visit.start + by[task], end=visit.end + by[task]
            )

        problem, items = self.problem, {k: v.get(b, ()) for k, v in self.items.items()}
        choices = {problem.uses[n].choice for n in self.uses.get(b, ())}
        cleans = {n: older.cleans[n] for n in self.uses.get(b, ()) if n in older.cleans}
        return Solution(
            times,
            {c: older.chosen[c] for c in choices},
            {n: older.crews[n] for n in items["crews"] if n in older.crews},
            {n: tuple(later(v, problem.tends[n].task) for v in older.tends[n])
             for n in items["tends"] if n in older.tends},
            {n: later(older.adds[n], problem.adds[n].task)
             for n in items["adds"] if n in older.adds},
            {n: self._cleaned(n, clean, times) for n, clean in cleans.items()},
        )  # fmt: skip

    def _cleaned(self, use: int, clean: Placed, times: Times) -> Placed:
        """A clean-down goes with the end of the use that it follows."""
        end = self.problem.uses[use].end
        if end.task not in times:
            return clean
        by = times[end.task][end.end] - self.older.times[end.task][end.end]
        return replace(clean, start=clean.start + by, end=clean.end + by)

    # -- does it fit? -----------------------------------------------------------------------

    def _free(self, found: Solution) -> bool:
        """A quick look: is everybody there and free, is there room on what it stands on?

        Jobs that may be left are left to the auditor.
        """
        problem = self.problem
        for t, (start, end) in found.times.items():
            task = problem.tasks[t]
            if start < task.earliest or end > task.latest:
                return False
        for n, people in found.crews.items():
            start, end = found.times[problem.crews[n].task]
            if problem.crews[n].leave is None and self.busy[list(people), start:end].any():
                return False
        visits = [*found.adds.values(), *(v for some in found.tends.values() for v in some)]
        if any(self.busy[list(v.people), v.start : v.end].any() for v in visits):
            return False
        return all(
            (self.used[r, a:z] <= problem.resources[r].capacity - amount).all()
            for r, a, z, amount in self._stays(found)
        )

    def _stays(self, found: Solution) -> Iterator[tuple[int, int, int, int]]:
        """What a batch takes by itself: resource, from, to, how much."""
        batch = self.problem.tasks[next(iter(found.times))].batch
        for n in self.uses.get(batch, ()):
            use = self.problem.uses[n]
            if use.choice in found.chosen and {use.start.task, use.end.task} <= set(found.times):
                option = self.problem.choices[use.choice].options[found.chosen[use.choice]]
                start, end = (found.times[p.task][p.end] for p in (use.start, use.end))
                if end - start > use.grace:
                    yield option.resource, start, end, use.amount

    def _new(self, b: int, found: Iterable[str]) -> set[str]:
        """What a batch breaks that was not broken; what it lacks is looked at in the end."""
        batch = self.problem.batches[b]
        lacking = {f"{batch.id}: is there without {self.problem.batches[i].id}"
                   for i in batch.inputs}  # fmt: skip
        found = {one for one in found if not one.endswith(NEEDLESS)}
        new = found - self.broken - lacking
        self.broken |= lacking
        return new

    def _put(self, found: Solution) -> None:
        """It stands there."""
        self.here = _both(self.here, found)
        for r, start, end, amount in self._stays(found):
            self.used[r, start:end] += amount
        for n, people in found.crews.items():
            if self.problem.crews[n].leave is None:
                start, end = found.times[self.problem.crews[n].task]
                self.busy[list(people), start:end] = True
        for v in [*found.adds.values(), *(v for some in found.tends.values() for v in some)]:
            self.busy[list(v.people), v.start : v.end] = True

    # -- what is always there, and what is left ----------------------------------------------

    def _fixed(self, b: int) -> Solution:
        """A duty or a break: as it was; somebody else where they are not there for it."""
        problem, batch = self.problem, self.problem.batches[b]
        found = Solution()
        if b in self.had:
            found = self._moved(b, {t: self.older.times[t] for t in batch.tasks})
            if self._free(found):
                return found
        times = {
            t: self.older.times.get(t, (task.earliest, task.earliest + task.least))
            for t in batch.tasks
            for task in (problem.tasks[t],)
        }
        choices = {problem.uses[n].choice for n in self.uses.get(b, ())}
        ways = [problem.crews[n].ways[0] for n in self.items["crews"].get(b, ())]
        seats = [line.people for way in ways for line in way.lines for _ in range(line.count)]
        options = [range(len(problem.choices[c].options)) for c in sorted(choices)]
        tries = 0
        for chosen in product(*options):
            for people in product(*seats):
                tries += 1
                if len(set(people)) == len(people):
                    found = self._seated(b, times, dict(zip(sorted(choices), chosen, strict=True)),
                                         people)  # fmt: skip
                    if self._free(found) or tries > MANNINGS:
                        return found
        return found

    def _seated(
        self, b: int, times: Times, chosen: dict[int, int], people: Sequence[int]
    ) -> Solution:
        left, crews = list(people), dict[int, tuple[int, ...]]()
        for n in self.items["crews"].get(b, ()):
            seats = sum(line.count for line in self.problem.crews[n].ways[0].lines)
            crews[n], left = tuple(left[:seats]), left[seats:]
        return Solution(times, chosen, crews)

    def _served(self) -> Solution:
        """Without what lacks something, and without what is for nothing any more."""
        problem, takes = self.problem, takers(self.problem)
        placed = set(self.here.placed(problem))
        while True:
            out = {
                b for b in placed
                if not problem.batches[b].fixed
                and (any(i not in placed for i in problem.batches[b].inputs)
                     or not (not takes[b] or takes[b] & placed or self._begun(b)))
            }  # fmt: skip
            if not out:
                return self._cleanings(_only(problem, self.here, placed))
            placed -= out

    def _cleanings(self, found: Solution) -> Solution:
        """Without clean-downs that nothing calls for any more."""
        needless = {
            int(said.split(":")[0].removeprefix("use "))
            for said in violations(self.problem, found) if said.endswith(NEEDLESS)
        }  # fmt: skip
        return replace(found, cleans={n: x for n, x in found.cleans.items() if n not in needless})

    def _begun(self, b: int) -> bool:
        return any(self.here.times[t][0] < self.now for t in self.problem.batches[b].tasks)


def _by(pairs: Iterable[tuple[int, int]]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for n, b in pairs:
        found.setdefault(b, []).append(n)
    return found


def _both(one: Solution, other: Solution) -> Solution:
    return Solution(
        {**one.times, **other.times}, {**one.chosen, **other.chosen},
        {**one.crews, **other.crews}, {**one.tends, **other.tends},
        {**one.adds, **other.adds}, {**one.cleans, **other.cleans},
    )  # fmt: skip


def _only(problem: Problem, found: Solution, placed: set[int]) -> Solution:
    times = {t: x for t, x in found.times.items() if problem.tasks[t].batch in placed}
    return Solution(
        times,
        {c: o for c, o in found.chosen.items() if problem.choices[c].batch in placed},
        {n: x for n, x in found.crews.items() if problem.crews[n].task in times},
        {n: x for n, x in found.tends.items() if problem.tends[n].task in times},
        {n: x for n, x in found.adds.items() if problem.adds[n].task in times},
        {n: x for n, x in found.cleans.items() if problem.uses[n].batch in placed},
    )

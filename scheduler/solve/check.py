"""The tiny auditor of the primitives: does a solution obey every rule of them?

Plain Python, no solver, no windows, no clever structures: it reads
`scheduler.workload.primitives` word by word and shares nothing with the
engines, so that a bug in one of them shows here. Times are ticks.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from scheduler.solve.check_machines import Taken, besides, cleans, doors
from scheduler.workload.primitives import HORIZON_END, HORIZON_START

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from scheduler.workload import primitives
    from scheduler.workload.primitives import Line, Placed, Problem, Solution

    Stretch = tuple[int, int]
    Busy = tuple[int, int, str, primitives.Crew | None]
    """start, end, what for, and the crew if it is one"""


def violations(problem: Problem, solution: Solution, partial: bool = True) -> list[str]:
    """Every rule that a solution breaks, one sentence each; empty when it is sound.

    Parameters
    ----------
    partial
        Batches may be left out (those that are not `fixed`, and then also
        what cannot do without them). False: every batch must be there.

    Returns
    -------
    list of str
        Sentences for engineers, naming tasks by their ids.
    """
    return list(_Check(problem, solution).run(partial))


class _Check:
    """One reading of one solution; a method a rule."""

    def __init__(self, problem: Problem, solution: Solution) -> None:
        self.problem = problem
        self.solution = solution
        self.placed = solution.placed(problem)
        self.busy: dict[int, list[Busy]] = defaultdict(list)
        self.away: dict[int, list[Busy]] = defaultdict(list)
        """For each task whose people may step away, their leavings; and how long the work is."""
        self.work: dict[int, int] = {}
        self.taken: dict[int, list[Taken]] = defaultdict(list)

    def run(self, partial: bool) -> Iterator[str]:
        yield from self.batches(partial)
        for t in sorted(self.solution.times):
            yield from self.task(t)
        for link in self.problem.links:
            yield from self.link(link)
        yield from self.uses()
        yield from self.crews()
        yield from self.visits()
        for r in sorted(self.taken):
            yield from self.resource(r)
        yield from self.cleaned()
        for p in sorted(self.busy):
            yield from self.person(p)
        yield from self.leavings()

    def batches(self, partial: bool) -> Iterator[str]:
        """Whole or absent; fixed ones there; nobody without what they cannot do without."""
        for b, batch in enumerate(self.problem.batches):
            if b in self.placed:
                for i in batch.inputs:
                    if i not in self.placed:
                        yield f"{batch.id}: is there without {self.problem.batches[i].id}"
                continue
            if any(t in self.solution.times for t in batch.tasks):
                yield f"{batch.id}: only some of its tasks have a place"
            elif batch.fixed or not partial:
                yield f"{batch.id}: is missing"
        for t in self.solution.times:
            if not 0 <= t < len(self.problem.tasks):
                yield f"task {t}: there is no such task"

    def here(self, task: int) -> bool:
        return self.problem.tasks[task].batch in self.placed

    def when(self, point: primitives.Point) -> int | None:
        """The tick of an endpoint; None if its batch is not there."""
        if point.task == HORIZON_START:
            return 0
        if point.task == HORIZON_END:
            return self.problem.horizon
        return self.solution.times[point.task][point.end] if self.here(point.task) else None

    def task(self, t: int) -> Iterator[str]:
        """least <= end - start <= most; earliest <= start; end <= latest; within; now."""
        if not 0 <= t < len(self.problem.tasks):
            return
        task: primitives.Task = self.problem.tasks[t]
        start, end = self.solution.times[t]
        if not task.least <= end - start <= task.most:
            yield f"{task.id}: lasts {end - start}, not {task.least}..{task.most}"
        if start < task.earliest or end > task.latest:
            yield f"{task.id}: {start}..{end} is not inside {task.earliest}..{task.latest}"
        if start < 0 or end > self.problem.horizon:
            yield f"{task.id}: {start}..{end} leaves the horizon"
        if task.within is not None and not _inside(start, end, task.within):
            yield f"{task.id}: {start}..{end} lies in none of {task.within}"
        if start < self.problem.now and not self.problem.batches[task.batch].fixed:
            yield f"{task.id}: starts at {start}, before now ({self.problem.now})"

    def link(self, link: primitives.Link) -> Iterator[str]:
        """least <= time(after) - time(before) <= most."""
        before, after = self.when(link.before), self.when(link.after)
        if before is None or after is None:
            return
        gap = after - before
        if (link.least is not None and gap < link.least) or (
            link.most is not None and gap > link.most
        ):
            yield (
                f"{self.name(link.before)} -> {self.name(link.after)}: "
                f"{gap} is not {link.least}..{link.most}"
            )

    def uses(self) -> Iterator[str]:
        """Exactly one option for each choice that a use follows; note what is taken."""
        for n, use in enumerate(self.problem.uses):
            span = self.span(use)
            if span is None:
                continue
            options = self.problem.choices[use.choice].options
            chosen = self.solution.chosen.get(use.choice)
            name = f"{self.name(use.start)} -> {self.name(use.end)}"
            if chosen is None or not 0 <= chosen < len(options):
                yield f"{name}: choice {use.choice} is {chosen}, of {len(options)} options"
                continue
            option = options[chosen]
            taken = Taken(*span, use.amount, option.state, name, n)
            self.taken[option.resource].append(taken)

    def span(self, use: primitives.Use) -> Stretch | None:
        """From when to when a use counts: both ends there, longer than its grace."""
        start, end = self.when(use.start), self.when(use.end)
        if use.batch not in self.placed or start is None or end is None:
            return None
        return (start, end) if end - start > max(use.grace, 0) else None

    def resource(self, r: int) -> Iterator[str]:
        """At most its capacity at once; states apart by their setup, none before its initial."""
        resource = self.problem.resources[r]
        taken = sorted(self.taken[r], key=lambda t: (t.start, t.end))
        for one in taken:
            load = sum(t.amount for t in taken if t.start <= one.start < t.end)
            if load > resource.capacity:
                yield f"{resource.id}: {load} of {resource.capacity} at {one.start} ({one.name})"
        yield from besides(self.problem, resource, taken)
        yield from doors(self.problem, resource, taken)
        if resource.setup is None:
            return
        for i, one in enumerate(taken):
            if one.state is None:
                continue
            if resource.initial and one.start < resource.initial[one.state]:
                before = resource.initial[one.state]
                yield f"{resource.id}: {one.name} at {one.start}, before {before}"
            for two in taken[i + 1 :]:
                if two.state in (None, one.state):
                    continue
                after = two.start >= one.end + resource.setup[one.state][two.state]
                if not (after or one.start >= two.end + resource.setup[two.state][one.state]):
                    yield (
                        f"{resource.id}: {one.name} and {two.name} in different states, too close"
                    )

    def cleaned(self) -> Iterator[str]:
        """Every resource is cleaned where it must be, and people clean nothing else."""
        due: set[int] = set()
        for r, taken in sorted(self.taken.items()):
            clean = self.problem.resources[r].clean
            if clean is not None:
                for n, name, placed, wrong in cleans(clean, taken, self.solution.cleans):
                    due.add(n)
                    yield from wrong
                    if placed is not None:
                        yield from self.hands(
                            placed.start, placed.end, placed.people, clean.lines, name
                        )
        for n in sorted(set(self.solution.cleans) - due):
            yield f"use {n}: is followed by a clean-down that nothing calls for"

    def crews(self) -> Iterator[str]:
        """Distinct people of one of its ways, for a length of that way, all through the task."""
        for c, crew in enumerate(self.problem.crews):
            task = self.problem.tasks[crew.task]
            people = self.solution.crews.get(c)
            if not self.here(crew.task):
                if people:
                    yield f"{task.id}: has people but no place"
                continue
            start, end = self.solution.times[crew.task]
            wrong = [[*self.manned(people or (), way.lines, task.id)] for way in crew.ways]
            right = [way for way, broken in zip(crew.ways, wrong, strict=True) if not broken]
            fit = [way for way in right if way.least <= end - start <= way.most]
            if not right:
                yield from wrong[0]
            elif not fit:
                yield f"{task.id}: {end - start} is no length for {people}"
            self.work[crew.task] = min((way.least for way in fit), default=0)
            self.at_work(people, start, end, task.id, crew)

    def visits(self) -> Iterator[str]:
        """Tends and adds: inside their task, their gaps and offsets, adds apart from the rest."""
        apart: dict[int, list[tuple[Placed, bool]]] = defaultdict(list)
        for n, tend in enumerate(self.problem.tends):
            visits = self.solution.tends.get(n, ())
            if not self.here(tend.task):
                if visits:
                    yield f"{self.problem.tasks[tend.task].id}: is tended but has no place"
                continue
            past, rest = visits[: len(tend.made)], visits[len(tend.made) :]
            if past != tend.made or any(v.start < tend.earliest for v in rest):
                yield f"{self.problem.tasks[tend.task].id}: what is past of its visits has changed"
            for visit in rest:
                yield from self.visit(visit, tend)
                apart[tend.task].append((visit, False))
            yield from self.gaps(tend, rest)
            yield from self.windows(tend, rest)
        for n, add in enumerate(self.problem.adds):
            placed = self.solution.adds.get(n)
            name = self.problem.tasks[add.task].id
            if not self.here(add.task) or placed is None:
                if self.here(add.task) is not (placed is not None):
                    yield f"{name}: add {n} is planned {placed}"
                continue
            yield from self.visit(placed, add)
            apart[add.task].append((placed, True))
            offset = placed.start - self.solution.times[add.task][0]
            if not add.least <= offset <= add.most:
                yield f"{name}: add {n} after {offset}, not {add.least}..{add.most}"
        for t, found in apart.items():
            for i, (a, added_a) in enumerate(found):
                for b, added_b in found[i + 1 :]:
                    if (added_a or added_b) and a.start < b.end and b.start < a.end:
                        yield f"{self.problem.tasks[t].id}: an add overlaps another visit"

    def visit(self, visit: Placed, of: primitives.Tend | primitives.Add) -> Iterator[str]:
        """Its length, inside its task, its people and what it takes while it lasts."""
        name = f"{self.problem.tasks[of.task].id} visit at {visit.start}"
        start, end = self.solution.times[of.task]
        if visit.end - visit.start != of.length:
            yield f"{name}: lasts {visit.end - visit.start}, not {of.length}"
        if visit.start < start or visit.end > end:
            yield f"{name}: ..{visit.end} is not inside {start}..{end}"
        for use in of.uses:
            taken = Taken(visit.start, visit.end, use.amount, None, name)
            self.taken[use.resource].append(taken)
        yield from self.hands(visit.start, visit.end, visit.people, of.lines, name)

    def gaps(self, tend: primitives.Tend, visits: tuple[Placed, ...]) -> Iterator[str]:
        """gap[0] <= next start - last end <= gap[1]; the task ends within gap[1] of the last."""
        if tend.gap is None:
            return
        start, end = self.solution.times[tend.task]
        last = start - tend.since
        name = self.problem.tasks[tend.task].id
        for visit in visits:
            if not tend.gap[0] <= visit.start - last <= tend.gap[1]:
                yield f"{name}: visit {visit.start - last} after the one before, not {tend.gap}"
            last = visit.end
        if end - last > tend.gap[1]:
            yield f"{name}: ends {end - last} after the last visit, more than {tend.gap[1]}"

    def windows(self, tend: primitives.Tend, visits: tuple[Placed, ...]) -> Iterator[str]:
        """One visit in every window wholly inside the task, and none besides."""
        if tend.gap is not None:
            return
        start, end = self.solution.times[tend.task]
        inside = sorted(w for w in tend.windows if start <= w[0] and w[1] <= end)
        name = self.problem.tasks[tend.task].id
        if len(inside) != len(visits):
            yield f"{name}: {len(visits)} visits for {len(inside)} windows"
            return
        for window, visit in zip(inside, sorted(visits, key=lambda v: v.start), strict=True):
            if not window[0] <= visit.start <= visit.end <= window[1]:
                yield f"{name}: visit {visit.start}..{visit.end} is not in {window}"

    def hands(
        self, start: int, end: int, people: tuple[int, ...], lines: tuple[Line, ...], name: str
    ) -> Iterator[str]:
        """The people of a visit; note when they are busy."""
        yield from self.manned(people, lines, name)
        self.at_work(people, start, end, name)

    def at_work(
        self,
        people: tuple[int, ...] | None,
        start: int,
        end: int,
        name: str,
        crew: primitives.Crew | None = None,
    ) -> None:
        """Note when they are busy."""
        for p in dict.fromkeys(people or ()):
            if 0 <= p < len(self.problem.people):
                self.busy[p].append((start, end, name, crew))

    @staticmethod
    def manned(people: tuple[int, ...], lines: tuple[Line, ...], name: str) -> Iterator[str]:
        """So many distinct people, each of whom its line knows."""
        wanted = [line for line in lines for _ in range(line.count)]
        if len(people) != len(wanted):
            yield f"{name}: {len(people)} people, not {len(wanted)}"
            return
        if len(set(people)) != len(people):
            yield f"{name}: one person twice"
            return
        for p, line in zip(people, wanted, strict=True):
            if p not in line.people:
                yield f"{name}: person {p} is none of {line.people}"

    def person(self, p: int) -> Iterator[str]:
        """There from start to end, and at one thing at a time, but for leavings."""
        who, there = self.problem.people[p]
        busy = sorted(self.busy[p], key=lambda b: (b[0], -b[1], b[2]))
        for start, end, name, _ in busy:
            if not _inside(start, end, there):
                yield f"{who}: is not there for {name} at {start}..{end}"
        left: dict[int, list[Busy]] = defaultdict(list)
        for i, job in enumerate(busy):
            for other in busy[i + 1 :]:
                if max(job[0], other[0]) >= min(job[1], other[1]):
                    continue
                if not _may_leave(job, other):
                    yield f"{who}: is at {job[2]} and {other[2]} at once"
                    continue
                left[i].append(other)
        for i, leavings in left.items():
            yield from self.spaced(who, busy[i], leavings)

    def spaced(self, who: str, job: Busy, leavings: list[Busy]) -> Iterator[str]:
        """Each leaving `apart` from the job's ends and from the same person's others."""
        start, end, name, crew = job
        if crew is None or crew.leave is None:
            return
        self.away[crew.task] += leavings
        ends = [start - crew.leave.begun, *(x[1] for x in leavings)]
        begins = [*(x[0] for x in leavings), end + crew.leave.beyond]
        for last, then in zip(ends, begins, strict=True):
            if then - last < crew.leave.apart:
                yield f"{who}: is at {name} only {last}..{then} between leavings"

    def leavings(self) -> Iterator[str]:
        """Not too many, and enough work between them."""
        for crew in self.problem.crews:
            if crew.leave is None or not self.here(crew.task):
                continue
            start, end = self.solution.times[crew.task]
            name, leave, away = self.problem.tasks[crew.task].id, crew.leave, self.away[crew.task]
            often = sum(x[3] is None or not x[3].rest for x in away)
            if often > leave.times:
                yield f"{name}: is left {often} times, not {leave.times}"
            rests = {t for x in away if x[3] is not None and x[3].rest for t in range(x[0], x[1])}
            short = sum(x[1] - x[0] for x in away if x[3] is None or not x[3].rest)
            work = end - start - short - len(rests)
            if work < self.work[crew.task]:
                yield f"{name}: {work} of work, not {self.work[crew.task]}"

    def name(self, point: primitives.Point) -> str:
        if point.task < 0:
            return "horizon start" if point.task == HORIZON_START else "horizon end"
        return f"{self.problem.tasks[point.task].id}.{'end' if point.end else 'start'}"


def _may_leave(job: Busy, other: Busy) -> bool:
    """Whether whoever is at a job may be at something else inside it."""
    start, end, _, crew = job
    if crew is None or crew.leave is None or not start <= other[0] <= other[1] <= end:
        return False
    then = other[3]
    if then is not None and then.rest:
        return crew.leave.breaks
    short = other[1] - other[0] <= crew.leave.longest
    return short and (then is None or then.leave is None)


def _inside(start: int, end: int, stretches: Iterable[Stretch]) -> bool:
    """Whether one stretch (those that touch count as one) holds start..end."""
    reach: Stretch | None = None
    for a, b in sorted(stretches):
        reach = (reach[0], max(reach[1], b)) if reach and a <= reach[1] else (a, b)
        if reach[0] <= start and end <= reach[1]:
            return True
    return False

"""Every way to time one batch of a tiny week: starts, lengths and visits, point by point."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import ceil

from scheduler.domain.recipes import Band, Hands, Need, Step, Tend, Time
from scheduler.domain.scenario import Scenario
from tests.weeks.brute_work import Make

PLATING = "plating"
Used = dict[tuple[str, str], tuple[int, int]]


@dataclass(frozen=True)
class Seen:
    """One visit: kind, which of its kind, whose hands, when, and what it takes."""

    kind: str
    index: int
    lines: tuple[Hands, ...]
    start: int
    end: int
    on: tuple[Need, ...] = ()
    verb: str = ""


@dataclass(frozen=True)
class Timed:
    """One step (or load) with its times and visits."""

    step: str
    load: int
    loads: int
    quantity: int
    start: int
    law_start: int
    law_end: int
    end: int
    visits: tuple[Seen, ...]


@dataclass(frozen=True)
class Timing:
    """A batch in time, and what its own waits and lengths cost."""

    tasks: tuple[Timed, ...]
    cost: int

    def of(self, step: str) -> list[Timed]:
        """The tasks of one step, load by load."""
        return [t for t in self.tasks if t.step == step]


def up(minutes: int, grid: int) -> int:
    """The next minute on the grid."""
    return ceil(minutes / grid) * grid


def grown(time: Time, quantity: int) -> int:
    """How much longer a time is for a quantity."""
    return ceil(time.plus * quantity / time.per.base) if time.per else 0


def paces(lines: tuple[Hands, ...], trainee_hour: int) -> list[Fraction]:
    """Every pace at which some hands could do a job."""
    slow = Fraction(60, trainee_hour)
    learning = any(line.level.value == "trainee" for line in lines)
    if not lines or lines[0].up_to is None:
        return [Fraction(1), slow] if learning else [Fraction(1)]
    return [
        n - k + k * slow
        for n in range(lines[0].people, lines[0].up_to + 1)
        for k in range(n + 1 if learning else 1)
    ]


def lengths(
    time: Time, quantity: int, grid: int, pace: Fraction = Fraction(1)
) -> list[tuple[int, int]]:
    """(length, minutes beyond the best) of every length on the grid that a time allows."""
    more = grown(time, quantity)
    least = time.at_least + more
    if time.decides.value == "we":
        least = time.undivided + ceil((least - time.undivided) / pace)
    most = up(least, grid)
    if time.at_most is not None and time.at_most > time.at_least:
        most = time.at_most + more
    if time.decides.value == "it":
        return [(up(most, grid), 0)]
    best = least
    if time.at_most is not None:
        best = (time.at_least if time.best is None else time.best) + more
    return [(n, max(0, n - up(best, grid))) for n in range(0, most + 1, grid) if n >= least]


def head(step: Step | None, quantity: int, grid: int) -> int:
    """Minutes by which a step that the food decides may be done before its planned end."""
    if step is None or step.time.decides.value != "it":
        return 0
    least = step.time.at_least + grown(step.time, quantity)
    return lengths(step.time, quantity, grid)[0][0] - least


def outside(band: Band, minutes: int) -> int:
    """Minutes outside a best band."""
    low, high = band.best()
    return max(0, low - minutes) + max(0, minutes - high)


class Timer:
    """Enumerates timings of one batch.

    Parameters
    ----------
    scenario : Scenario
    make : Make
    used : dict of (batch, step) to (int, int)
        When the consumers that are planned start the step that takes it:
        its first load and its last.
    """

    def __init__(self, scenario: Scenario, make: Make, used: Used) -> None:
        self.scenario = scenario
        self.grid = scenario.kitchen.grid
        self.now = up(scenario.clock.minute(scenario.week.plan_from), self.grid)
        self.make = make
        self.uses = [
            (u, used[u.consumer, u.step]) for u in make.uses if (u.consumer, u.step) in used
        ]
        self.jobs = [
            (i, n, len(loads), q)
            for i, loads in enumerate(make.loads)
            for n, q in enumerate(loads)
        ]

    def all(self) -> Iterator[Timing]:
        """Every timing, from the last step backwards."""
        if self.make.dish is None:
            for tasks, cost in self._back(len(self.jobs) - 1, ()):
                yield Timing(tasks, cost + self._age(tasks))
        else:
            for plated, cost in self._plated():
                for tasks, more in self._back(len(self.jobs) - 1, (plated,)):
                    yield Timing(tasks, cost + more)

    def _plated(self) -> Iterator[tuple[Timed, int]]:
        dish = self.make.dish
        assert dish is not None
        takes = up(ceil(60 * self.make.quantity / dish.plating.per_hour), self.grid)
        away, starts = self.make.away, [self.make.away]
        if dish.keeps is not None:
            starts = [
                s
                for s in range(self.now, away - takes + 1, self.grid)
                if dish.keeps.not_before <= away - s <= dish.keeps.at_most
            ]
        for start in starts:
            if start + takes > self.scenario.clock.horizon:
                continue
            seen = Seen("hands", 0, dish.plating.hands, start, start + takes)
            cost = outside(dish.keeps, away - start) if dish.keeps else 0
            yield (
                Timed(
                    PLATING, 1, 1, self.make.quantity, start, start, start + takes, start + takes,
                    (seen,),
                ),
                cost,
            )

    def _back(
        self, at: int, after: tuple[Timed, ...]
    ) -> Iterator[tuple[tuple[Timed, ...], int]]:
        if at < 0:
            yield after, 0
            return
        place, load, loads, quantity = self.jobs[at]
        step = self.make.steps[place]
        low, high = self._window(place, load, loads, after)
        for task, cost in self._once(step, load, loads, quantity, low, high, after):
            wait = 0
            if load == 0:
                wait = self._wait(place, task, after)
            for tasks, more in self._back(at - 1, (task, *after)):
                yield tasks, cost + wait + more

    def _next(self, place: int, after: tuple[Timed, ...]) -> list[Timed]:
        """The tasks of the step after one."""
        steps = self.make.steps
        name = steps[place + 1].id if place + 1 < len(steps) else PLATING
        return [t for t in after if t.step == name]

    def _window(
        self, place: int, load: int, loads: int, after: tuple[Timed, ...]
    ) -> tuple[int, int]:
        """Earliest and latest end of a task by what follows it."""
        step, quantity = self.make.steps[place], self.make.loads[place][load]
        late = head(step, quantity, self.grid)
        low, high = 0, self.scenario.clock.horizon
        follows = self._next(place, after)
        if follows:
            if step.waves and len(follows) == loads:
                follows = [follows[load]]
            then = step.then
            least, most = (then.not_before, then.at_most - late) if then else (0, 0)
            for task in follows:
                low, high = max(low, task.start - most), min(high, task.start - least)
        else:
            keep = self.make.recipe.keeps[0]  # type: ignore[union-attr, index]
            for use, (first, last) in self.uses:
                most = keep.at_most - late
                if use.within is not None:
                    most = min(most, use.within)
                low, high = max(low, last - most), min(high, first - keep.not_before)
        return low, high

    def _wait(self, place: int, first: Timed, after: tuple[Timed, ...]) -> int:
        """Cost of the wait after a step; `first` is its first load."""
        step, follows = self.make.steps[place], self._next(place, after)
        if step.then is None or not follows:
            return 0
        mine = [first, *(t for t in after if t.step == step.id)]
        pairs = [(mine[0], follows[-1])]
        if step.waves and len(follows) == len(mine):
            pairs = list(zip(mine, follows, strict=True))
        return self.make.weight * sum(outside(step.then, b.start - a.end) for a, b in pairs)

    def _age(self, tasks: tuple[Timed, ...]) -> int:
        """Cost of shares: how far outside the best band they are used."""
        first = next(t for t in tasks if t.step == self.make.steps[-1].id)
        keep = self.make.recipe.keeps[0]  # type: ignore[union-attr, index]
        ages = [last - first.end for _, (_, last) in self.uses]
        return self.make.weight * sum(outside(keep, age) for age in ages)

    def _once(
        self, step: Step, load: int, loads: int, quantity: int, low: int, high: int,
        after: tuple[Timed, ...],
    ) -> Iterator[tuple[Timed, int]]:
        grid = self.grid
        hour = self.scenario.kitchen.trainee_hour

        def every(time: Time, lines: tuple[Hands, ...]) -> list[tuple[int, int]]:
            found = [x for p in paces(lines, hour) for x in lengths(time, quantity, grid, p)]
            return sorted(set(found))

        befores = every(step.load.time, step.load.hands) if step.load else [(0, 0)]
        behinds = every(step.unload.time, step.unload.hands) if step.unload else [(0, 0)]
        laws = every(step.time, step.hands)
        latest = min((t.start for t in after if t.step == step.id), default=high)
        for end in range(up(max(low, 0), grid), high + 1, grid):
            for (before, _), (law, beyond), (behind, _) in product(befores, laws, behinds):
                start = end - behind - law - before
                if not self.now <= start <= latest:
                    continue
                begins, ends = start + before, end - behind
                for inside in self._inside(step, quantity, begins, ends):
                    visits = list(inside)
                    if step.load:
                        visits.append(_at("load", step.load, start, begins))
                    if step.unload:
                        visits.append(_at("unload", step.unload, ends, end))
                    if step.hands:
                        visits.append(Seen("hands", 0, step.hands, begins, ends))
                    visits.sort(key=lambda v: v.start)
                    yield (
                        Timed(
                            step.id, load + 1, loads, quantity, start, begins, ends, end,
                            tuple(visits),
                        ),
                        self.make.weight * beyond,
                    )

    def _inside(
        self, step: Step, quantity: int, begins: int, ends: int
    ) -> Iterator[tuple[Seen, ...]]:
        for tends in self._tended(step, quantity, begins, ends):
            for adds in self._added(step, quantity, begins, ends, 0, tends):
                yield (*tends, *adds)

    def _tended(
        self, step: Step, quantity: int, begins: int, ends: int
    ) -> Iterator[tuple[Seen, ...]]:
        if not step.tend:
            yield ()
            return
        tend = step.tend[0]
        takes = lengths(tend.time, quantity, self.grid)[0][0]
        if tend.every is None:
            yield from self._by_day_parts(tend, takes, begins, ends)
            return
        least, most = tend.every - tend.give_or_take, tend.every + tend.give_or_take

        def on(last: int, index: int) -> Iterator[tuple[Seen, ...]]:
            if ends - last <= most:
                yield ()
            for start in range(up(last + least, self.grid), last + most + 1, self.grid):
                if start + takes <= ends:
                    seen = Seen(
                        "tend", index, tend.hands, start, start + takes, tend.on, tend.verb
                    )
                    for rest in on(start + takes, index + 1):
                        yield (seen, *rest)

        yield from on(begins, 0)

    def _by_day_parts(
        self, tend: Tend, takes: int, begins: int, ends: int
    ) -> Iterator[tuple[Seen, ...]]:
        """One visit in each part of the day that lies wholly inside."""
        clock, hours = self.scenario.clock, self.scenario.kitchen.day_parts
        parts = [p.hours for p in hours if p.id in tend.day_parts]
        windows = sorted(clock.span(day, part) for day in clock.days() for part in parts)
        starts = [
            range(up(a, self.grid), b - takes + 1, self.grid)
            for a, b in windows
            if begins <= a and b <= ends
        ]
        for chosen in product(*starts):
            yield tuple(
                Seen("tend", i, tend.hands, start, start + takes, tend.on, tend.verb)
                for i, start in enumerate(chosen)
            )

    def _added(
        self, step: Step, quantity: int, begins: int, ends: int, at: int, tends: tuple[Seen, ...]
    ) -> Iterator[tuple[Seen, ...]]:
        if at == len(step.add):
            yield ()
            return
        add = step.add[at]
        takes = lengths(add.time, quantity, self.grid)[0][0]
        for start in range(up(begins, self.grid), ends - takes + 1, self.grid):
            seen = Seen("add", at, add.hands, start, start + takes, add.on, add.verb)
            if abs(start - begins - add.after) > add.give_or_take:
                continue
            if any(t.start < seen.end and seen.start < t.end for t in tends):
                continue
            for rest in self._added(step, quantity, begins, ends, at + 1, (*tends, seen)):
                yield (seen, *rest)


def _at(kind: str, visit: object, start: int, end: int) -> Seen:
    return Seen(kind, 0, visit.hands, start, end, visit.on, visit.verb)  # type: ignore[attr-defined]

"""The best solution of a tiny problem by trying everything; for tests only.

It tries every set of batches, every start and length, every crew, every
chain of visits and every option, prunes only where a rule is broken already,
and asks `scheduler.solve.check` about what is left. It shares no search with
the engines.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, permutations, product

from scheduler.solve.check import violations
from scheduler.solve.objective import Score, takers, terms
from scheduler.workload.primitives import Line, Placed, Point, Problem, Solution

Times = dict[int, tuple[int, int]]
Busy = list[tuple[int, int, int]]
"""person, start, end"""
Manned = tuple[dict[int, tuple[Placed, ...]], dict[int, Placed], Busy]
"""tends, adds, and who is busy then"""


class TooLarge(Exception):
    """More to try than a test may take."""


def best(
    problem: Problem, limit: int = 300_000, must: frozenset[int] | None = None
) -> Score | None:
    """The least score of any solution; None if even the fixed batches have no place.

    Parameters
    ----------
    limit
        So many steps and no more.
    must
        Only these batches and the fixed ones, all of them.

    Raises
    ------
    TooLarge
    """
    return _Everything(problem, limit).best(must)


class _Everything:
    def __init__(self, problem: Problem, limit: int) -> None:
        self.problem = problem
        self.left = limit
        # Whoever may step away is at two things; what is too much is for the check to say.
        self.leaving = any(crew.leave is not None for crew in problem.crews)
        self.found: Score | None = None

    def best(self, must: frozenset[int] | None) -> Score | None:
        sets = [must] if must is not None else list(self._subsets())
        for batches in sorted(sets, key=self._served):
            served = self._served(batches)
            if self.found is not None and served > self.found.served:
                break
            self._times(batches)
        return self.found

    def _subsets(self) -> Iterator[frozenset[int]]:
        """Sets of batches in which nothing is without its inputs, or made for nobody."""
        taken = takers(self.problem)
        batches = self.problem.batches
        fixed = frozenset(b for b, batch in enumerate(batches) if batch.fixed)
        others = [b for b in range(len(batches)) if b not in fixed]
        for n in range(len(others) + 1):
            for some in combinations(others, n):
                here = fixed | frozenset(some)
                if all(i in here for b in here for i in batches[b].inputs) and all(
                    b in fixed or not taken[b] or taken[b] & here for b in here
                ):
                    yield here

    def _served(self, here: frozenset[int]) -> tuple[int, ...]:
        served = [0] * self.problem.ranks
        for plate in self.problem.plates:
            served[plate.rank - 1] += max((n for b, n in plate.lacks if b not in here), default=0)
        others = sum(not batch.fixed for batch in self.problem.batches)
        made = sum(not self.problem.batches[b].fixed for b in here)
        return (*served, others - made)

    # -- times ----------------------------------------------------------------------

    def _times(self, here: frozenset[int]) -> None:
        fixed = [b for b, batch in enumerate(self.problem.batches) if batch.fixed]
        order = fixed + [b for b in sorted(here) if b not in fixed]
        tasks = [t for b in order for t in self.problem.batches[b].tasks]
        self._place(tasks, 0, {})

    def _place(self, tasks: list[int], n: int, times: Times) -> None:
        self._step()
        if n == len(tasks):
            least = terms(self.problem, Solution(dict(times)))  # with nobody in overtime
            if self.found is None or least < self.found:
                for solution in self._rest(times):
                    score = terms(self.problem, solution)
                    if self.found is None or score < self.found:
                        self.found = score
                    if score == least:
                        break
            return
        problem, t = self.problem, tasks[n]
        task = problem.tasks[t]
        earliest = task.earliest
        if not problem.batches[task.batch].fixed:
            earliest = max(earliest, problem.now)
        low, high = self._window(t, times)
        for start in range(max(earliest, low), min(task.latest, high) + 1):
            for length in range(task.least, task.most + 1):
                if start + length > min(task.latest, problem.horizon):
                    break
                times[t] = (start, start + length)
                if self._links(t, times):
                    self._place(tasks, n + 1, times)
                del times[t]

    def _window(self, t: int, times: Times) -> tuple[int, int]:
        """What links from tasks that have a place leave for a start (saves steps)."""
        low, high = 0, self.problem.horizon
        for link in self.problem.links:
            if link.after != Point(t):
                continue
            before = self._when(link.before, times)
            if before is not None:
                low = max(low, before + link.least) if link.least is not None else low
                high = min(high, before + link.most) if link.most is not None else high
        return low, high

    def _links(self, t: int, times: Times) -> bool:
        for link in self.problem.links:
            if t not in (link.before.task, link.after.task):
                continue
            before, after = self._when(link.before, times), self._when(link.after, times)
            if before is None or after is None:
                continue
            if link.least is not None and after - before < link.least:
                return False
            if link.most is not None and after - before > link.most:
                return False
        return True

    def _when(self, point: Point, times: Times) -> int | None:
        if point.task < 0:
            return 0 if point.task == -1 else self.problem.horizon
        return times[point.task][point.end] if point.task in times else None

    # -- everything else ------------------------------------------------------------

    def _rest(self, times: Times) -> Iterator[Solution]:
        """People, visits and options for these times, in every way there is."""
        # Without people and visits first: what breaks already stays broken.
        bare = Solution(dict(times))
        if any(
            "people" not in v
            and "visit" not in v
            and "choice" not in v
            and "add" not in v
            and "ends" not in v
            for v in violations(self.problem, bare)
        ):
            return
        for crews, busy in self._crews(0, times, {}, []):
            for tends, adds, _ in self._visits(times, busy):
                for chosen in self._options(times):
                    self._step()
                    solution = Solution(dict(times), chosen, dict(crews), dict(tends), dict(adds))
                    if not violations(self.problem, solution):
                        yield solution

    def _options(self, times: Times) -> Iterator[dict[int, int]]:
        wanted = [
            c
            for c, choice in enumerate(self.problem.choices)
            if all(t in times for t in self.problem.batches[choice.batch].tasks)
        ]
        ranges = [range(len(self.problem.choices[c].options)) for c in wanted]
        for some in product(*ranges):
            yield dict(zip(wanted, some, strict=True))

    def _crews(
        self, c: int, times: Times, crews: dict[int, tuple[int, ...]], busy: Busy
    ) -> Iterator[tuple[dict[int, tuple[int, ...]], Busy]]:
        self._step()
        if c == len(self.problem.crews):
            yield crews, busy
            return
        crew = self.problem.crews[c]
        if crew.task not in times:
            yield from self._crews(c + 1, times, crews, busy)
            return
        start, end = times[crew.task]
        for way in crew.ways:
            if way.least <= end - start <= way.most:
                for people in self._people(way.lines, start, end, busy):
                    more = [(p, start, end) for p in people]
                    yield from self._crews(c + 1, times, {**crews, c: people}, busy + more)

    def _people(
        self, lines: tuple[Line, ...], start: int, end: int, busy: Busy
    ) -> Iterator[tuple[int, ...]]:
        """Every way to man the lines with people who are there and free."""
        free = [
            p
            for p, (_, there) in enumerate(self.problem.people)
            if any(a <= start and end <= b for a, b in there)
            and (self.leaving or not any(q == p and a < end and start < b for q, a, b in busy))
        ]
        wanted = [line for line in lines for _ in range(line.count)]
        for some in permutations(free, len(wanted)):
            if all(p in line.people for p, line in zip(some, wanted, strict=True)):
                yield some

    def _visits(self, times: Times, busy: Busy) -> Iterator[Manned]:
        items = [("tend", n) for n, t in enumerate(self.problem.tends) if t.task in times]
        items += [("add", n) for n, a in enumerate(self.problem.adds) if a.task in times]
        yield from self._each(items, times, {}, {}, busy)

    def _each(
        self,
        items: list[tuple[str, int]],
        times: Times,
        tends: dict[int, tuple[Placed, ...]],
        adds: dict[int, Placed],
        busy: Busy,
    ) -> Iterator[Manned]:
        if not items:
            yield tends, adds, busy
            return
        (kind, n), rest = items[0], items[1:]
        if kind == "add":
            add = self.problem.adds[n]
            start, end = times[add.task]
            for at in range(start + add.least, min(start + add.most, end - add.length) + 1):
                for people in self._people(add.lines, at, at + add.length, busy):
                    placed = Placed(at, at + add.length, people)
                    more = [(p, placed.start, placed.end) for p in people]
                    yield from self._each(rest, times, tends, {**adds, n: placed}, busy + more)
            return
        for visits, now in self._chain(n, times, (), busy):
            yield from self._each(rest, times, {**tends, n: visits}, adds, now)

    def _chain(
        self, n: int, times: Times, visits: tuple[Placed, ...], busy: Busy
    ) -> Iterator[tuple[tuple[Placed, ...], Busy]]:
        self._step()
        tend = self.problem.tends[n]
        start, end = times[tend.task]
        if tend.gap is None:
            windows = sorted(w for w in tend.windows if start <= w[0] and w[1] <= end)
            if len(visits) == len(windows):
                yield visits, busy
                return
            window = windows[len(visits)]
            places = range(window[0], window[1] - tend.length + 1)
        else:
            last = visits[-1].end if visits else start - tend.since
            if end - last <= tend.gap[1]:
                yield visits, busy
            low, high = last + tend.gap[0], last + tend.gap[1]
            places = range(max(start, low), min(high, end - tend.length) + 1)
        for at in places:
            for people in self._people(tend.lines, at, at + tend.length, busy):
                more = [(p, at, at + tend.length) for p in people]
                placed = Placed(at, at + tend.length, people)
                yield from self._chain(n, times, (*visits, placed), busy + more)

    def _step(self) -> None:
        self.left -= 1
        if self.left < 0:
            raise TooLarge

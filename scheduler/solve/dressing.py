"""People, visits and stores for a path that insertion has found.

The path says when each task of a batch starts and ends; this says who, and
when the visits inside are, or which task's start has to be given up because
they cannot be manned.
"""

from __future__ import annotations

from itertools import islice, product
from typing import TYPE_CHECKING

from scheduler.solve.board import Placement
from scheduler.solve.hands import brief_way, by_price, one_person, pick_people
from scheduler.solve.leaving import Away
from scheduler.solve.outside import hold_mask, hold_options
from scheduler.solve.visits import brief_visit, tend_chain, window_visits
from scheduler.workload.primitives import Placed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from scheduler.solve.arrays import Bools
    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain
    from scheduler.solve.leaving import Brief
    from scheduler.solve.outside import Holds
    from scheduler.workload.primitives import Add, Crew, Job, Line, Tend, Way

    Combo = tuple[tuple[int, int], ...]

ADDS = 1000
"""Combinations of moments tried for the added visits of one task."""


class Dressing:
    """Dresses paths of one batch.

    Parameters
    ----------
    board : Board
    chain : Chain
    low : sequence of int
        The first tick each boundary can have.
    starts : mapping
        ("tend" | "add", which): at which ticks such a visit could start, from the first tick
        that its task can start at.
    holds : mapping
        (boundary, outward): holds to placed points.
    """

    def __init__(
        self,
        board: Board,
        chain: Chain,
        low: Sequence[int],
        starts: Mapping[tuple[str, int], Bools],
        holds: Mapping[tuple[int, bool], Holds],
    ) -> None:
        self.board = board
        self.problem = board.problem
        self.chain = chain
        self.low = low
        self.base = 0
        self.starts = starts
        self.holds = holds
        self.seen: dict[int, int] = {}
        self.away: list[Away] = []
        """Brief hands of this placement: jobs are left for all of them together."""
        self.placement = Placement(chain.batch)
        self.calm = board.calm
        self.job: Job | None = None
        """What the people are for who are looked for, where that matters."""
        self.usual: frozenset[int] = frozenset()
        """Who was at it in an older plan."""
        self.loaded: tuple[int, ...] = ()
        """Who has loaded what is being unloaded."""

    def dress(self, path: list[int], combos: Sequence[Combo]) -> Placement | int:
        """The placement, or the segment whose start has to be barred."""
        problem = self.problem
        times = self.placement.times
        for combo in combos:
            self.placement.chosen.update(combo)
        for i, t in enumerate(self.chain.tasks):
            times[t] = (path[2 * i], path[2 * i + 1])
        for n in self.chain.across:
            link = problem.links[n]
            x = times[link.after.task][link.after.end] - times[link.before.task][link.before.end]
            if (link.least is not None and x < link.least) or (
                link.most is not None and x > link.most
            ):
                return 2 * self.chain.tasks.index(link.before.task)
        for i, t in enumerate(self.chain.tasks):
            for n in self.chain.crews.get(i, ()):
                if self.calm is not None:
                    self.job = self.calm.calm.crews[n]
                    self.loaded = self.placement.crews.get(self.calm.loads.get(n, -1), ())
                self._was_at(t)
                people = self._crew(problem.crews[n], *times[t])
                if people is None:
                    return 2 * i
                self.placement.crews[n] = people
            if not self._visits(i, path[2 * i], path[2 * i + 1]):
                return 2 * i
        self._stores(path)
        return self.placement

    def _was_at(self, task: int) -> None:
        anchors = self.board.anchors
        if anchors is not None:
            self.usual = anchors.people.get(task, frozenset())

    def _crew(self, crew: Crew, start: int, end: int) -> tuple[int, ...] | None:
        """People for the cheapest way that fits the length; of equal ones those missed least."""
        for way in by_price(self.board.index, crew):
            if way.least <= end - start <= way.most:
                left = way if crew.leave is not None and one_person(way.lines) else None
                brief = brief_way(self.board, crew, way)
                people = self._people(way.lines, start, end, brief, crew, left)
                if people is not None:
                    return people
        return None

    def _people(
        self,
        lines: tuple[Line, ...],
        start: int,
        end: int,
        brief: Brief | None = None,
        crew: Crew | None = None,
        left: Way | None = None,
    ) -> tuple[int, ...] | None:
        """Those of this batch again if they can, then those who can do least else.

        `brief`: a job may be left for it. `left`: the way of a crew of one that may be left.
        """
        jobs = self.board.leavings

        def free(p: int) -> bool:
            if jobs is not None and left is not None and crew is not None:
                return jobs.can(crew, left, p, start, end)
            if jobs is not None and crew is not None and crew.leave is not None:
                return jobs.pauses(p, start, end, crew.leave)
            if jobs is not None and brief is not None:
                return jobs.free(p, start, end, brief, self.away)
            return int(self.board.next_busy[p, start]) >= end

        found = pick_people(lines, free, lambda p: self._preference(p, start, end))
        for p in found or ():
            self.seen[p] = self.seen.get(p, 0) + 1
            if brief is not None:
                self.away.append(Away(p, start, end, brief.rest))
        return found

    def _preference(self, person: int, start: int, end: int) -> tuple[int, ...]:
        """Lower is better."""
        other = int(bool(self.usual) and person not in self.usual)
        usual = (other, -self.seen.get(person, 0), self.board.index.scarcity[person], person)
        over = self.board.overtime.longer(person, start, end) if self.board.overtime else 0
        if self.calm is None or self.job is None:
            return (over, *usual)
        cost = self.calm.adding(person, start, end, self.job)
        if self.loaded and person not in self.loaded:
            cost += self.calm.calm.hand_over
        return (over, cost, *usual)

    def _stores(self, path: list[int]) -> None:
        for (boundary, outward), holds in self.holds.items():
            t = path[boundary]
            for options in self._options(holds, t, outward):
                if bool(hold_mask(self.board, holds, options, outward, (t, t))[0]):
                    for (hold, _), o in zip(holds, options, strict=True):
                        self.placement.chosen[self.problem.uses[hold.index].choice] = o
                    break

    def _options(self, holds: Holds, t: int, outward: bool) -> list[tuple[int, ...]]:
        """Stores for holds between tick t and their other ends, best first."""
        return hold_options(self.board, holds)

    def _visits(self, i: int, start: int, end: int) -> bool:
        """Added visits first (they have few places), then tending around them."""
        adds, tends = self.chain.adds.get(i, []), self.chain.tends.get(i, [])
        if not adds and not tends:
            return True
        self.base = self.low[2 * i]
        start, end = start - self.base, end - self.base
        spots: list[list[int]] = []
        for n in adds:
            add, ok = self.problem.adds[n], self.starts["add", n]
            window = range(start + add.least, min(start + add.most, end - add.length) + 1)
            spots.append([t for t in window if t < len(ok) and ok[t]])
        for combo in islice(product(*spots), ADDS):
            closed = [
                (t, t + self.problem.adds[n].length) for n, t in zip(adds, combo, strict=True)
            ]
            if any(a < d and c < b for x, (a, b) in enumerate(closed) for c, d in closed[:x]):
                continue
            chains = [self._tending(n, start, end, closed) for n in tends]
            if all(chain is not None for chain in chains):
                return self._man(adds, combo, tends, [c for c in chains if c is not None])
        return False

    def _tending(
        self, n: int, start: int, end: int, closed: list[tuple[int, int]]
    ) -> list[int] | None:
        return self._tended(self.starts["tend", n], n, start, end, closed)

    def _tended(
        self, starts: Bools, n: int, start: int, end: int, closed: list[tuple[int, int]]
    ) -> list[int] | None:
        tend = self.problem.tends[n]
        if tend.gap is not None:
            return tend_chain(starts, tend, start, end, closed)
        return window_visits(starts, tend, self.base, start, end, closed)

    def _man(
        self, adds: list[int], spots: tuple[int, ...], tends: list[int], chains: list[list[int]]
    ) -> bool:
        """People for the visits; False where somebody lacks."""
        self.loaded = ()
        for n, t in zip(adds, spots, strict=True):
            self.job = None if self.calm is None else self.calm.calm.adds[n]
            self._was_at(self.problem.adds[n].task)
            placed = self._visit(self.problem.adds[n], t)
            if placed is None:
                return False
            self.placement.adds[n] = placed
        for n, chain in zip(tends, chains, strict=True):
            tend = self.problem.tends[n]
            self._was_at(tend.task)
            self.job = None if self.calm is None else self.calm.calm.tends[n]
            visits = [self._visit(tend, t) for t in chain]
            if any(v is None for v in visits):
                return False
            self.placement.tends[n] = (*tend.made, *(v for v in visits if v is not None))
        return True

    def _visit(self, visit: Tend | Add, t: int) -> Placed | None:
        start, end = t + self.base, t + self.base + visit.length
        people = self._people(visit.lines, start, end, brief_visit(self.board, visit))
        return None if people is None else Placed(start, end, people)

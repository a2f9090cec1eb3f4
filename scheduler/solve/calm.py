"""What a hectic shift costs: a term that only whole solutions have.

`person`, `hand_over` and `changes` weigh one piece each; `Ledger` keeps the
pieces of a board, so that a move pays only for the people and ovens it touches.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from scheduler.solve.arrays import Ints
    from scheduler.solve.board import Board, Placement
    from scheduler.workload.primitives import Calm, Job, Problem, Resource, Shift, Solution

    Work = tuple[int, int, Job]
    """Start and end, minutes, and what it is."""


@dataclass(frozen=True, slots=True)
class Hectic:
    """Cost over what a day may take, and cost of calm."""

    over: int = 0
    calm: int = 0

    def __add__(self, other: Hectic) -> Hectic:
        return Hectic(self.over + other.over, self.calm + other.calm)


NONE = Hectic()


def shift_at(starts: list[int], end: int) -> int:
    """Which shift a work belongs to: the last that starts before it ends, or the first."""
    return max(0, bisect_left(starts, end) - 1)


def person(calm: Calm, shifts: tuple[Shift, ...], work: Iterable[Work]) -> Hectic:
    """What one person's shifts cost (see `primitives.Calm`)."""
    found = NONE
    if not shifts:
        return found
    starts = [s.start for s in shifts]
    each: dict[int, list[Work]] = {}
    for one in work:
        each.setdefault(shift_at(starts, one[1]), []).append(one)
    for n, mine in each.items():
        mine.sort(key=lambda w: (w[0], w[1], w[2].number))
        found += _shift(calm, shifts[n], mine)
    return found


def _shift(calm: Calm, shift: Shift, work: list[Work]) -> Hectic:
    over = cost = 0
    if shift.most is not None and calm.over:
        spent, until = 0, work[0][0]
        for start, end, _ in work:
            spent += max(0, end - max(start, until))
            until = max(until, end)
        over = calm.over * max(0, spent - shift.most)
    if calm.late:
        cost += calm.late * sum(
            job.late and end - start >= calm.long and start > shift.end - calm.last
            for start, end, job in work
        )
    if calm.section or calm.change:
        counted = [
            job
            for start, end, job in work
            if end - start > calm.short
            or not (start < shift.start + calm.ends or end > shift.end - calm.ends)
        ]
        sections = [job.section for job in counted if job.section >= 0]
        cost += calm.section * sum(a != b for a, b in pairwise(sections))
        changes = sum(a.number != b.number for a, b in pairwise(counted))
        cost += calm.change * max(0, changes - calm.free)
    return Hectic(over, cost)


def hand_over(calm: Calm, pair: tuple[int, int], crews: Mapping[int, tuple[int, ...]]) -> int:
    """What one pair of crews costs: loaded by some, unloaded by others."""
    load, unload = crews.get(pair[0]), crews.get(pair[1])
    apart = load is not None and unload is not None and not set(load) & set(unload)
    return calm.hand_over if apart else 0


def changes(calm: Calm, uses: Iterable[tuple[int, int, int]]) -> int:
    """What the settings of one oven cost: (start, end, setting) of its uses."""
    states = [state for _, _, state in sorted(uses)]
    return calm.oven * sum(a != b for a, b in pairwise(states))


def works(problem: Problem, solution: Solution | Board) -> dict[int, list[Work]]:
    """For each person their work in a solution."""
    calm, grid = problem.calm, problem.grid
    found: dict[int, list[Work]] = {}
    if calm is None:
        return found

    def note(people: tuple[int, ...], start: int, end: int, job: Job | None) -> None:
        if job is not None:
            for p in people:
                found.setdefault(p, []).append((start * grid, end * grid, job))

    for n, people in solution.crews.items():
        note(people, *solution.times[problem.crews[n].task], calm.crews[n])
    for n, visits in solution.tends.items():
        for visit in visits:
            note(visit.people, visit.start, visit.end, calm.tends[n])
    for n, visit in solution.adds.items():
        note(visit.people, visit.start, visit.end, calm.adds[n])
    return found


def hectic(problem: Problem, solution: Solution) -> Hectic:
    """All of it, from a solution."""
    calm = problem.calm
    if calm is None:
        return NONE
    found = NONE
    for p, work in works(problem, solution).items():
        found += person(calm, calm.shifts[p], work)
    found += Hectic(calm=sum(hand_over(calm, pair, solution.crews) for pair in calm.handed))
    if calm.oven:
        for uses in _oven_uses(problem, solution).values():
            found += Hectic(calm=changes(calm, uses))
    lengths = (placed.end - placed.start for placed in solution.cleans.values())
    return found + Hectic(calm=calm.clean * sum(lengths) * problem.grid)


def heated(resource: Resource) -> bool:
    """Are its states settings of an oven, and not only what a machine is cleaned after?"""
    return resource.setup is not None and (resource.clean is None or bool(resource.states))


def setting(resource: Resource, state: int) -> int:
    """The setting of a state, by number: where it is cleaned as well, several have the same."""
    return resource.states.index(resource.states[state]) if resource.clean is not None else state


def _oven_uses(problem: Problem, solution: Solution) -> dict[int, list[tuple[int, int, int]]]:
    from scheduler.solve.objective import moment

    found: dict[int, list[tuple[int, int, int]]] = {}
    for use in problem.uses:
        start, end = moment(problem, solution, use.start), moment(problem, solution, use.end)
        if start is None or end is None or end - start <= use.grace:
            continue
        option = problem.choices[use.choice].options[solution.chosen.get(use.choice, 0)]
        resource = problem.resources[option.resource]
        if option.state is not None and heated(resource):
            found.setdefault(option.resource, []).append(
                (start, end, setting(resource, option.state))
            )
    return found


@dataclass(slots=True)
class Ledger:
    """The pieces of a board, recomputed only where something has changed.

    Attributes
    ----------
    people, ovens, batches : set of int
        What has been touched since the last sum.
    """

    board: Board
    calm: Calm
    work: list[list[tuple[int, int, int, Job]]] = field(default_factory=list)
    """For each person: start, end (ticks), batch and job."""
    people: set[int] = field(default_factory=set)
    ovens: set[int] = field(default_factory=set)
    batches: set[int] = field(default_factory=set)
    handed: dict[int, list[tuple[int, int]]] = field(default_factory=dict)
    whose: dict[int, set[int]] = field(default_factory=dict)
    """For each batch who is at it."""
    loads: dict[int, int] = field(default_factory=dict)
    """For each crew that unloads that which loads."""
    starts: list[list[int]] = field(default_factory=list)
    """For each person when their shifts start, minutes."""
    spent: dict[int, list[int]] = field(default_factory=dict)
    total: int = 0
    _people: list[int] = field(default_factory=list)
    _ovens: dict[int, int] = field(default_factory=dict)
    _batches: dict[int, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        problem = self.board.problem
        self.work = [[] for _ in problem.people]
        self._people = [0] * len(problem.people)
        self.loads = {unload: load for load, unload in self.calm.handed}
        self.starts = [[s.start for s in shifts] for shifts in self.calm.shifts]
        for pair in self.calm.handed:
            b = problem.tasks[problem.crews[pair[0]].task].batch
            self.handed.setdefault(b, []).append(pair)

    def enter(self, placement: Placement) -> None:
        """What has been put on the board."""
        b, problem, calm = placement.batch, self.board.problem, self.calm
        self.batches.add(b)
        for n, people in placement.crews.items():
            self._note(b, people, *self.board.times[problem.crews[n].task], calm.crews[n])
        for n, visits in placement.tends.items():
            for visit in visits:
                self._note(b, visit.people, visit.start, visit.end, calm.tends[n])
        for n, visit in placement.adds.items():
            self._note(b, visit.people, visit.start, visit.end, calm.adds[n])

    def _note(
        self, b: int, people: tuple[int, ...], start: int, end: int, job: Job | None
    ) -> None:
        if job is not None:
            for p in people:
                self.work[p].append((start, end, b, job))
                self.people.add(p)
                self.spent.pop(p, None)
            self.whose.setdefault(b, set()).update(people)

    def leave(self, b: int) -> None:
        """A batch goes."""
        for p in self.whose.pop(b, ()):
            self.work[p] = [w for w in self.work[p] if w[2] != b]
            self.people.add(p)
            self.spent.pop(p, None)
        self.batches.add(b)

    def adding(self, p: int, start: int, end: int, job: Job) -> int:
        """What a person's shifts cost more with a work that is not theirs yet."""
        grid, calm = self.board.problem.grid, self.calm
        shifts = calm.shifts[p]
        if not shifts:
            return 0
        n = self._shift_at(p, end)
        mine = [
            (a * grid, b * grid, j) for a, b, _, j in self.work[p] if self._shift_at(p, b) == n
        ]
        now = person(calm, shifts, mine)
        then = person(calm, shifts, [*mine, (start * grid, end * grid, job)])
        return then.over + then.calm - now.over - now.calm

    def _shift_at(self, p: int, end: int) -> int:
        return shift_at(self.starts[p], end * self.board.problem.grid)

    def begins(self, crew: int, lo: int, hi: int, least: int) -> Ints | None:
        """A marginal price of a crew's start at every tick of [lo, hi]: over and late.

        The least over the people of its lines; None where nothing of it has a price.
        """
        calm, job, grid = self.calm, self.calm.crews[crew], self.board.problem.grid
        late = calm.late if job is not None and job.late and least * grid >= calm.long else 0
        if job is None or not (late or calm.over):
            return None
        ways = self.board.problem.crews[crew].ways
        price: Ints | None = None
        for p in sorted({p for way in ways for line in way.lines for p in line.people}):
            mine = np.full(hi - lo + 1, INF, dtype=np.int64)
            for n, shift in enumerate(calm.shifts[p]):
                a, b = shift.start // grid - lo, shift.end // grid - lo
                if b < 0 or a > hi - lo:
                    continue
                cost = 0
                if shift.most is not None and calm.over:
                    left = max(0, shift.most - self._spent(p, n))
                    cost = calm.over * max(0, least * grid - left)
                mine[max(0, a) : b + 1] = cost
                if late:
                    mine[max(0, (shift.end - calm.last) // grid + 1 - lo) : max(0, b + 1)] += late
            price = mine if price is None else np.minimum(price, mine)
        if price is None:
            return None
        price[price >= INF] = 0
        return price

    def _spent(self, p: int, shift: int) -> int:
        """Minutes of work in a shift, those that overlap more than once."""
        if p not in self.spent:
            grid = self.board.problem.grid
            minutes = [0] * len(self.calm.shifts[p])
            for a, b, _, _ in self.work[p]:
                minutes[self._shift_at(p, b)] += (b - a) * grid
            self.spent[p] = minutes
        return self.spent[p][shift]

    def cost(self) -> int:
        """What it all costs now."""
        calm, board = self.calm, self.board
        grid = board.problem.grid
        for p in self.people:
            work = [(start * grid, end * grid, job) for start, end, _, job in self.work[p]]
            found = person(calm, calm.shifts[p], work)
            self.total += found.over + found.calm - self._people[p]
            self._people[p] = found.over + found.calm
        if calm.hand_over:
            for b in self.batches & self.handed.keys():
                now = sum(hand_over(calm, pair, board.crews) for pair in self.handed[b])
                self.total += now - self._batches.get(b, 0)
                self._batches[b] = now
        if calm.oven:
            for r in self.ovens:
                of = board.problem.resources[r]
                if not heated(of):
                    continue
                stays = (board.stays[n] for n in board.by_resource[r])
                now = changes(
                    calm,
                    (
                        (s.start, s.end, setting(of, s.state))
                        for s in stays
                        if s.state is not None
                    ),
                )
                self.total += now - self._ovens.get(r, 0)
                self._ovens[r] = now
        self.people.clear()
        self.ovens.clear()
        self.batches.clear()
        return self.total + self._cleaning()

    def _cleaning(self) -> int:
        """What all cleaning between contents costs, whether or not it has found somebody."""
        cleaning = self.board.cleaning
        if not self.calm.clean or cleaning is None:
            return 0
        return self.calm.clean * cleaning.ticks() * self.board.problem.grid

"""Cleaning a machine between two contents: who does it, and where a use finds somebody.

What is cleaned after a use belongs to that use's batch, as long as what
follows it calls for it. So a batch that is taken off takes its own cleaning
along, and one that is put between two others may make theirs needless or
call for new hands. What is due and finds nobody when something is taken off
is owed: the board may be like that in the middle of a move, never after it
(`construct.paid`).
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF
from scheduler.solve.hands import crew_until, pick_people
from scheduler.solve.leaving import Brief
from scheduler.workload.primitives import Placed

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.board import Board, Stay
    from scheduler.solve.sweep import Room
    from scheduler.workload.primitives import Clean, Option, Problem


def cleaned(problem: Problem) -> frozenset[int]:
    """Resources that are cleaned between two contents."""
    return frozenset(r for r, resource in enumerate(problem.resources) if resource.clean)


class Cleaning:
    """What is cleaned on a board.

    Attributes
    ----------
    done : dict of int to Placed
        Use after which it is: when and by whom.
    owed : dict of int to int
        Uses after which it is due and nobody was found, each with its resource.
    lax : bool
        Nobody is looked for: what was there before is being put back.
    """

    def __init__(self, board: Board) -> None:
        self.board = board
        self.done: dict[int, Placed] = {}
        self.owed: dict[int, int] = {}
        self.lax = False
        self._where: dict[int, int] = {}
        self._known: dict[int, Placed] = {}
        """Who did it last."""

    # -- keeping up with what is placed ----------------------------------------------

    def row(self, resource: int) -> list[Stay]:
        """What stands on a resource, in order of time."""
        every = (self.board.stays[n] for n in self.board.by_resource[resource])
        return sorted((s for s in every if s.state is not None), key=lambda stay: stay.start)

    def settle(self, resources: Iterable[int]) -> bool:
        """Clean where it has become due, and nowhere else; True if nothing new is owed."""
        fine = True
        for resource in () if self.lax else resources:
            due = dict(_due(self._rule(resource), self.row(resource)))
            before = {n for n, r in self.owed.items() if r == resource}
            for n in before:
                del self.owed[n]
            for n in [n for n, r in self._where.items() if r == resource]:
                if n not in due or not self._lies(self.done[n], *due[n]):
                    self.release(n)
            for n, (stay, after) in due.items():
                if n not in self.done and not self._find(n, stay, after):
                    self.owed[n] = resource
                    fine &= n in before
        return fine

    def ticks(self) -> int:
        """How long it all takes, what is owed with it."""
        where = (*self._where.values(), *self.owed.values())
        return sum(self._rule(resource).length for resource in where)

    def _rule(self, resource: int) -> Clean:
        rule = self.board.problem.resources[resource].clean
        assert rule is not None
        return rule

    def _lies(self, placed: Placed, stay: Stay, after: Stay) -> bool:
        at_once = self._rule(stay.resource).at_once
        begins = placed.start == stay.end if at_once else placed.start >= stay.end
        return begins and placed.end <= after.start

    def _find(self, n: int, stay: Stay, after: Stay) -> bool:
        """Somebody to clean after a stay and before the next: as soon as can be."""
        board, rule = self.board, self._rule(stay.resource)
        old = self._known.get(n)
        if old is not None and self._lies(old, stay, after) and self._engage(n, stay, old):
            return True
        last = stay.end if rule.at_once else after.start - rule.length
        for i in np.flatnonzero(could_clean(board, rule, stay.end, last))[:1]:
            start = stay.end + int(i)
            people = self._people(rule, start, start + rule.length)
            if people is not None:
                return self._engage(n, stay, Placed(start, start + rule.length, people))
        return False

    def _people(self, rule: Clean, start: int, end: int) -> tuple[int, ...] | None:
        """Those who can do least else; a job that may be left may be left for it."""
        board, brief = self.board, _brief(self.board, rule)

        def free(p: int) -> bool:
            if board.leavings is not None and brief is not None:
                return board.leavings.free(p, start, end, brief)
            return int(board.next_busy[p, start]) >= end

        return pick_people(rule.lines, free, lambda p: (board.index.scarcity[p], p))

    def _engage(self, n: int, stay: Stay, placed: Placed) -> bool:
        batch = self.board.problem.uses[n].batch
        if not self.board.engage(batch, placed.people, placed.start, placed.end):
            return False
        self.done[n] = self._known[n] = placed
        self._where[n] = stay.resource
        return True

    def release(self, n: int) -> None:
        """Nobody cleans after a use any more."""
        placed = self.forget(n)
        batch = self.board.problem.uses[n].batch
        if placed is not None:
            self.board.dismiss(batch, placed.people, placed.start, placed.end)

    def forget(self, n: int) -> Placed | None:
        """The batch of a use is taken off, and its people with it."""
        self._where.pop(n, None)
        self.owed.pop(n, None)
        return self.done.pop(n, None)

    def learn(self, placed: Mapping[int, Placed]) -> None:
        """Who is to do it where it becomes due, if they can."""
        self._known.update(placed)

    # -- putting back what was there ---------------------------------------------------

    def clear(self) -> None:
        """Nobody cleans anything, until `recall`."""
        self.lax = True
        for n in list(self.done):
            self.release(n)
        self.owed.clear()

    def recall(self, done: Mapping[int, Placed]) -> None:
        """Everything is cleaned as it was, now that everything is where it was."""
        self.lax = False
        for n, placed in done.items():
            stay = self.board.stays.get(n)
            if stay is not None and n not in self.done:
                self._engage(n, stay, placed)
        self.settle(self.board.index.cleaned)

    def creditor(self) -> int | None:
        """The batch to take off where cleaning is owed: what follows, or what is before it."""
        for n, resource in sorted(self.owed.items()):
            for one, after in pairwise(self.row(resource)):
                if one.use == n:
                    for m in (after.use, n):
                        batch = self.board.problem.uses[m].batch
                        if not self.board.problem.batches[batch].fixed:
                            return batch
        return None


def _brief(board: Board, rule: Clean) -> Brief | None:
    """Cleaning as something a job may be left for."""
    if board.leavings is None:
        return None
    return Brief(rule.length, sum(line.count for line in rule.lines))


def _due(rule: Clean, row: list[Stay]) -> Iterable[tuple[int, tuple[Stay, Stay]]]:
    for one, two in pairwise(row):
        if wanted(rule, one.state, two.state):
            yield one.use, (one, two)


def wanted(rule: Clean, one: int | None, two: int | None) -> bool:
    """Whether a use in one state calls for cleaning before one in another."""
    return one is not None and two is not None and rule.after[one][two]


def called_for(
    board: Board, option: Option, start: int, end: int
) -> Iterable[tuple[Clean, int, int]]:
    """For a use that is not placed yet: each cleaning it calls for, first and last start.

    A cleaning that is there already calls for nobody.
    """
    rule = board.problem.resources[option.resource].clean
    if board.cleaning is None or rule is None:
        return
    row = board.cleaning.row(option.resource)
    before = [s for s in row if s.end <= start]
    after = [s for s in row if s.start >= end]
    p = before[-1] if before else None
    if p and p.use not in board.cleaning.done and wanted(rule, p.state, option.state):
        yield rule, p.end, p.end if rule.at_once else start - rule.length
    if after and wanted(rule, option.state, after[0].state):
        yield rule, end, end if rule.at_once else after[0].start - rule.length


def between_contents(
    board: Board, option: Option, room: Room, begins: int, ends: tuple[int, int, bool]
) -> Bools:
    """Ticks at which a use cannot be because nobody could clean before it or after it.

    Parameters
    ----------
    room : Room
        Where the use ends with the segment, ends after which nobody could clean get no place.
    begins : int
        First tick of the segment's start.
    ends : (int, int, bool)
        First and last tick of its end, and whether the use ends there.

    Notes
    -----
    In a gap between a stay p and the next one v: if p calls for cleaning
    before the use, somebody is free at the end of p (or, before use, by its
    start); if the use does before v, somebody is free at its end (or from
    then on, by the start of v). Who cleans after p now counts as free only
    where that goes on being due.
    """
    cleaning = board.cleaning
    cleaning, rule = board.cleaning, board.problem.resources[option.resource].clean
    lo, hi = begins, ends[1]
    blocked = np.zeros(max(0, hi - lo), dtype=bool)
    if rule is None or cleaning is None:
        return blocked
    row = cleaning.row(option.resource)
    shut = np.zeros(ends[1] - ends[0] + 1, dtype=bool)
    for p, v in pairwise([None, *row, None]):
        a, z = (0 if p is None else p.end), (board.problem.horizon if v is None else v.start)
        if z <= lo or a >= hi or a >= z:
            continue
        if p is not None and wanted(rule, p.state, option.state):
            old = cleaning.done.get(p.use)
            ready = z
            if old is not None:
                ready = a if rule.at_once else old.end
            elif rule.at_once:
                ready = a if could_clean(board, rule, a, a).any() else z
            elif bool((free := could_clean(board, rule, a, z - rule.length)).any()):
                ready = a + int(free.argmax()) + rule.length
            blocked[max(0, a - lo) : max(0, ready - lo)] = True
        if v is not None and wanted(rule, option.state, v.state):
            a = max(a, lo)
            free = could_clean(board, rule, a, z - rule.length)
            if not rule.at_once:
                latest = a + int(np.flatnonzero(free)[-1]) if free.any() else a
                blocked[latest - lo : max(0, z - lo)] = True
            elif ends[2]:
                points = np.arange(max(a + 1, ends[0]), min(z, ends[1]) + 1)
                inside = points - a < len(free)
                shut[points - ends[0]] = True
                shut[points[inside] - ends[0]] = ~free[points[inside] - a]
    if bool(shut.any()):
        toll = np.where(shut, INF, 0)
        room.entered = toll if room.entered is None else room.entered + toll
    return blocked


def cleaning_price(board: Board, option: Option, first: int, ticks: int) -> Ints:
    """What cleaning costs more with a use that begins at each of so many ticks.

    Never less than nothing: what need not be cleaned on the way by the use need not be without
    it either, as what is left behind is all in what follows.
    """
    price = np.zeros(ticks, dtype=np.int64)
    cleaning, rule = board.cleaning, board.problem.resources[option.resource].clean
    rate = 0 if board.calm is None else board.calm.calm.clean
    if not rate or rule is None or cleaning is None:
        return price
    for p, v in pairwise([None, *cleaning.row(option.resource), None]):
        before, after = (None if p is None else p.state), (None if v is None else v.state)
        more = wanted(rule, before, option.state) + wanted(rule, option.state, after)
        more -= wanted(rule, before, after)
        a, z = (0 if p is None else p.end), (board.problem.horizon if v is None else v.start)
        price[max(0, a - first) : max(0, z - first)] = more * rule.length * board.problem.grid
    return price * rate


def could_clean(board: Board, rule: Clean, first: int, last: int) -> Bools:
    """For every moment from `first` to `last` whether somebody is free to clean from then on."""
    last = min(last, board.problem.horizon - rule.length)
    if last < first:
        return np.zeros(0, dtype=bool)
    until = crew_until(board, rule.lines, first, last + rule.length, _brief(board, rule))
    long = np.arange(last - first + 1, dtype=np.int64) + rule.length
    return np.asarray(until[: last - first + 1] >= long)

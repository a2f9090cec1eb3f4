"""Jobs that may be left: who is away from them, and who still could be.

Only a problem in which a crew may be left has one of these on its board. A
person at such a job counts as free for what is *brief*: hands that are short
enough, where the job still has so many leavings, so much spare time and so
much room between its ends and other leavings. A job that is put around what
its person does already ends later by what that takes.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import next_blocked
from scheduler.workload.primitives import way_taken

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from scheduler.solve.arrays import Ints
    from scheduler.solve.board import Board
    from scheduler.workload.primitives import Crew, Leave, Way

    Stretch = tuple[int, int]

FAR = 1 << 40


@dataclass(frozen=True, slots=True)
class Brief:
    """What a job may be left for.

    Attributes
    ----------
    length : int
        At most so many ticks.
    hands : int
        So many people at once.
    rest : bool
        A break.
    """

    length: int
    hands: int = 1
    rest: bool = False


@dataclass(frozen=True, slots=True)
class Away:
    """One leaving."""

    person: int
    start: int
    end: int
    rest: bool


THROUGH = Brief(-1)
"""What goes on through breaks."""


def time_lost(away: Iterable[Away]) -> int:
    """How long somebody is away; what is a break for several at once counts once."""
    gone = list(away)
    rests = {t for a in gone if a.rest for t in range(a.start, a.end)}
    return len(rests) + sum(a.end - a.start for a in gone if not a.rest)


@dataclass(slots=True)
class Job:
    """A placed crew that may be left."""

    people: tuple[int, ...]
    start: int
    end: int
    leave: Leave
    work: int
    away: set[Away] = field(default_factory=set)

    def admits(self, brief: Brief, besides: Sequence[Away] = ()) -> bool:
        """Has it leavings and time to spare for this, and for something else besides?"""
        leave = self.leave
        hands = min(brief.hands, len(self.people))
        if brief.rest:
            if not leave.breaks:
                return False
        else:
            used = sum(not a.rest for a in (*self.away, *besides))
            if brief.length > leave.longest or used + hands > leave.times:
                return False
        lost = time_lost([*self.away, *besides])
        return self.end - self.start - lost - hands * brief.length >= self.work

    def spares(self, away: Away, besides: Sequence[Away] = ()) -> bool:
        """Has it room for just this one?"""
        if not (self.leave.breaks if away.rest else away.end - away.start <= self.leave.longest):
            return False
        everything = {*self.away, *besides, away}
        return self.room(
            away.person, away.start, away.end, [*self.away, *besides]
        ) and _enough(everything, self.start, self.end, self.leave, self.work)

    def room(self, person: int, start: int, end: int, others: Iterable[Away]) -> bool:
        """Is a leaving far enough from the job's ends and the person's other leavings?"""
        apart = self.leave.apart
        if start < self.start + self.leave.lead or end > self.end - self.leave.tail:
            return False
        return all(
            end + apart <= a.start or start >= a.end + apart for a in others if a.person == person
        )


class Leavings:
    """The jobs on a board that may be left.

    Parameters
    ----------
    board : Board
    """

    def __init__(self, board: Board) -> None:
        people = len(board.problem.people)
        self.board = board
        self.jobs: dict[int, Job] = {}
        self.of: list[list[Job]] = [[] for _ in range(people)]
        self.rests: set[tuple[int, int, int]] = set()
        self.off = [next_blocked(row) for row in board.away]
        """For each person the next tick at which they cannot be in the house …"""
        self.shut = self.off
        """… or a search for a place must not see them."""
        if board.overtime is not None:
            rows = enumerate(board.away)
            self.shut = [next_blocked(board.overtime.hidden(p, row)) for p, row in rows]
        self._rows: list[dict[Brief, Ints]] = [{} for _ in range(people)]
        self._lines: dict[int, tuple[Ints, Ints, Ints]] = {}

    def forget(self, person: int) -> None:
        """Something of theirs has changed."""
        overtime = self.board.overtime
        if overtime is not None:
            self.shut[person] = next_blocked(overtime.hidden(person, self.board.away[person]))
        self._rows[person].clear()
        self._lines.pop(person, None)

    # -- short hands ------------------------------------------------------------

    def free_until(self, people: Sequence[int], brief: Brief, lo: int, hi: int) -> Ints:
        """For each person and every point of [lo, hi] the next tick taken, for something brief."""
        busy = self.board.next_busy
        if brief is not THROUGH and not any(self.of[p] for p in people):
            return busy[people, lo : hi + 1]
        return np.stack([self._row(p, brief)[lo : hi + 1] for p in people])

    def _row(self, person: int, brief: Brief) -> Ints:
        if brief is THROUGH:
            return self._through(person)
        if not any(job.admits(brief) for job in self.of[person]):
            row: Ints = self.board.next_busy[person]
            return row
        if brief not in self._rows[person]:
            taken = self.board.hidden(person)
            for job in self.of[person]:
                if not job.admits(brief):
                    continue
                apart = job.leave.apart
                first = min(job.start + job.leave.lead, job.end)
                last = max(job.start, job.end - job.leave.tail)
                taken[first:last] = False
                for a in job.away:
                    if a.person == person:
                        taken[max(0, a.start - apart) : a.end + apart] = True
                taken[job.start : first] = True
                taken[last : job.end] = True
            self._rows[person][brief] = next_blocked(taken)
        return self._rows[person][brief]

    def _through(self, person: int) -> Ints:
        """The next tick taken by anything but a break."""
        if THROUGH not in self._rows[person]:
            taken = self.board.busy[person] > 0
            for p, start, end in self.rests:
                if p == person:
                    taken[start:end] = self.board.busy[person, start:end] > 1
            self._rows[person][THROUGH] = next_blocked(taken)
        return self._rows[person][THROUGH]

    def free(
        self, person: int, start: int, end: int, brief: Brief, besides: Sequence[Away] = ()
    ) -> bool:
        """Can a person do something brief then, besides what is about to be placed as well?"""
        if int(self._row(person, brief)[start]) < end:
            return False
        job = self.at(person, start, end)
        if job is None:
            return True
        mine = [
            a for a in besides
            if a.person in job.people and job.start <= a.start and a.end <= job.end
        ]  # fmt: skip
        return job.spares(Away(person, start, end, brief.rest), mine)

    def at(self, person: int, start: int, end: int) -> Job | None:
        """The job that a person is at then."""
        return next((j for j in self.of[person] if j.start < end and start < j.end), None)

    def step_out(self, people: Sequence[int], start: int, end: int, rest: bool) -> bool:
        """Somebody does something brief: note whom a job lacks for it; False where it cannot."""
        noted: list[tuple[Job, Away]] = []
        for p in people:
            if not bool(self.board.busy[p, start:end].any()):
                continue
            job, away = self.at(p, start, end), Away(p, start, end, rest)
            if (
                job is None
                or not job.spares(away)
                or bool((self.board.busy[p, start:end] > 1).any())
            ):
                for left, a in noted:
                    left.away.discard(a)
                return False
            job.away.add(away)
            noted.append((job, away))
        if rest:
            self.rests.update((p, start, end) for p in people)
        return True

    def come_back(self, person: int, start: int, end: int) -> None:
        """What somebody did is taken off."""
        rest = (person, start, end) in self.rests
        self.rests.discard((person, start, end))
        for job in self.of[person]:
            job.away.discard(Away(person, start, end, rest))

    # -- jobs -------------------------------------------------------------------

    def begin(self, crew: int, people: tuple[int, ...], start: int, end: int) -> bool:
        """Put a job that may be left around what its people do; False where that does not go."""
        item = self.board.problem.crews[crew]
        leave, work = item.leave, _work(item, people, end - start)
        assert leave is not None
        away: set[Away] = set()
        for p in people:
            mine = self.away_from(p, start, end, leave)
            if mine is None:
                return False
            away.update(mine)
        job = Job(people, start, end, leave, work, away)
        if not _enough(job.away, start, end, leave, work):
            return False
        self.jobs[crew] = job
        for p in people:
            self.of[p].append(job)
        return True

    def end(self, crew: int) -> None:
        """Take a job off."""
        job = self.jobs.pop(crew, None)
        for p in job.people if job is not None else ():
            self.of[p] = [j for j in self.of[p] if j is not job]

    def away_from(self, person: int, start: int, end: int, leave: Leave) -> list[Away] | None:
        """What a person does inside a stretch, if a job could be left for all of it."""
        if int(self.off[person][start]) < end:
            return None
        starts, ends, kind = self._line(person)
        first = int(np.searchsorted(ends, start, "right"))
        found: list[Away] = []
        free = start + leave.lead
        for i in range(first, len(starts)):
            a, b = int(starts[i]), int(ends[i])
            if a >= end:
                break
            rest = kind[i] == 1
            passed = leave.breaks if rest else kind[i] == 0 and b - a <= leave.longest
            if not passed or a < free or b > end - leave.tail:
                return None
            found.append(Away(person, a, b, bool(rest)))
            free = b + leave.apart
        return found

    def can(self, crew: Crew, way: Way, person: int, start: int, end: int) -> bool:
        """Could a person do a job alone from start to end, in that way?"""
        assert crew.leave is not None
        away = self.away_from(person, start, end, crew.leave)
        return away is not None and _enough(away, start, end, crew.leave, way.least)

    def _line(self, person: int) -> tuple[Ints, Ints, Ints]:
        """What a person does, in order: starts, ends, and 0 for hands, 1 breaks, 2 jobs that may
        be left themselves; what lies inside such a job is not listed."""
        if person not in self._lines:
            jobs = {(j.start, j.end) for j in self.of[person]}
            found: list[tuple[int, int, int]] = []
            for a, b, _ in sorted(self.board.spells[person], key=lambda s: (s[0], -s[1])):
                if found and a < found[-1][1]:
                    continue
                rest = (person, a, b) in self.rests
                found.append((a, b, 2 if (a, b) in jobs else int(rest)))
            columns = np.array(found, dtype=np.int64).reshape(-1, 3).T
            self._lines[person] = columns[0], columns[1], columns[2]
        return self._lines[person]

    def rooms(
        self, person: int, leave: Leave, work: int, ticks: Ints, most: int, hi: int
    ) -> list[tuple[Ints, Ints]]:
        """First and last end of so much work by one person for every start; -1: there is none.

        One entry for each number of things that are passed on the way: with
        the first n of them away, from e_n + tail on to the start of the next.
        """
        limit = np.minimum(np.minimum(self.shut[person][ticks], ticks + most), hi)
        return _passing(self._line(person), leave, work, ticks, limit)

    def rooms_together(
        self, people: Iterable[int], leave: Leave, work: int, ticks: Ints, limit: Ints
    ) -> list[tuple[Ints, Ints]]:
        """The same for several, who pause over breaks: as if the breaks of all were each one's."""
        who = set(people)
        merged: list[tuple[int, int, int]] = []
        for start, end in sorted((a, b) for p, a, b in self.rests if p in who):
            if merged and start <= merged[-1][1]:
                merged[-1] = merged[-1][0], max(end, merged[-1][1]), 1
            else:
                merged.append((start, end, 1))
        columns = np.array(merged, dtype=np.int64).reshape(-1, 3).T
        return _passing((columns[0], columns[1], columns[2]), leave, work, ticks, limit)

    def pauses(self, person: int, start: int, end: int, leave: Leave) -> bool:
        """Does somebody nothing else then than a job with several people, and take breaks?"""
        away = self.away_from(person, start, end, leave)
        return away is not None and all(a.rest for a in away)


def _passing(
    line: tuple[Ints, Ints, Ints], leave: Leave, work: int, ticks: Ints, limit: Ints
) -> list[tuple[Ints, Ints]]:
    """First and last ends for every start, for each number of things passed (see `rooms`)."""
    starts, ends, kind = line
    after = np.append(starts, FAR)
    i = np.searchsorted(starts, ticks, "left")
    ok = (i == 0) | (np.append(ends, -1)[np.maximum(i, 1) - 1] <= ticks)
    last = np.minimum(limit, after[i])
    first = ticks + work
    out = [(first, np.where(ok & (first <= last), last, -1))]
    lost, often = np.zeros_like(ticks), np.zeros_like(ticks)
    free = ticks + leave.lead
    if not len(starts):
        return out
    while True:
        here = np.minimum(i, len(starts) - 1)
        length = ends[here] - starts[here]
        rest = kind[here] == 1
        passed = (rest & leave.breaks) | ((kind[here] == 0) & (length <= leave.longest))
        lost, often = lost + length, often + ~rest
        first = np.maximum(ticks + work + lost, ends[here] + leave.tail)
        ok = ok & (i < len(starts)) & passed & (starts[here] >= free)
        ok = ok & (often <= leave.times) & (first <= limit)
        if not bool(ok.any()):
            return out
        free, i = ends[here] + leave.apart, i + 1
        last = np.minimum(limit, after[np.minimum(i, len(starts))])
        if bool((ok & (first <= last)).any()):
            out.append((first, np.where(ok & (first <= last), last, -1)))


def _enough(away: Iterable[Away], start: int, end: int, leave: Leave, work: int) -> bool:
    """Is a job not left too often, and long enough for the work?"""
    away = list(away)
    often = sum(not a.rest for a in away)
    return often <= leave.times and end - start - time_lost(away) >= work


def _work(crew: Crew, people: tuple[int, ...], length: int) -> int:
    """The work of a job of that length, in the shortest way that these people are."""
    return min(
        (
            way.least
            for way in crew.ways
            if way_taken(replace(crew, ways=(way,)), people, length) is not None
        ),
        default=0,
    )

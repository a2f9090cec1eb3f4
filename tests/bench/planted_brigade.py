"""The brigade of a planted week: shifts cut down to what the hidden plan needs, or opened up.

A job is a stretch of one pair of hands; whose hands may change, when never.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from scheduler.workload.primitives import Line, Placed
from tests.bench.pencil import Bools, Pencil
from tests.bench.planted_grow import shifts_of

DAY = 288
"""Ticks."""
QUARTER = 3
"""Shifts begin and end on the quarter hour (ticks of five minutes)."""
SHORTEST = 48
"""Ticks: four hours are the shortest shift …"""
STUB = 12
"""… and a piece of a shift before or after a break shorter than an hour is not worked."""


@dataclass(slots=True)
class Shift:
    """One person's working day."""

    person: int
    pieces: list[tuple[int, int]]
    jobs: list[Job] = field(default_factory=list)

    @property
    def there(self) -> int:
        """Ticks on shift, less the break."""
        return sum(b - a for a, b in self.pieces)

    @property
    def worked(self) -> int:
        """Ticks at work."""
        return sum(j.end - j.start for j in self.jobs)

    def holds(self, start: int, end: int) -> bool:
        """Is a stretch inside one piece?"""
        return any(a <= start and end <= b for a, b in self.pieces)

    def free(self, start: int, end: int) -> bool:
        """Is nothing else to be done in a stretch?"""
        return not any(j.start < end and start < j.end for j in self.jobs)


@dataclass(slots=True)
class Job:
    """One pair of hands for a stretch; `crew` are all hands of the same visit."""

    start: int
    end: int
    people: tuple[int, ...]
    crew: list[int]
    slot: int


class Brigade:
    """Everybody's shifts in a planted week.

    Parameters
    ----------
    pencil : Pencil
        The hidden plan, with whoever is on shift opened.
    """

    def __init__(self, pencil: Pencil) -> None:
        self.pencil, self.problem = pencil, pencil.problem
        self.crews: list[tuple[str, int, list[list[int]]]] = []
        self.need = self._needed()
        self.shifts: list[Shift] = []
        jobs = list(self._jobs())
        for p, (_, spans) in enumerate(self.problem.people):
            self.shifts += [
                Shift(p, pieces) for pieces in shifts_of(spans) if pencil.opened[p, pieces[0][0]]
            ]
        for job in jobs:
            self._shift_of(job.crew[job.slot], job.start, job.end).jobs.append(job)

    def _jobs(self) -> Iterator[Job]:
        problem, pencil = self.problem, self.pencil
        for n, people in sorted(pencil.crews.items()):
            crew = problem.crews[n]
            lines = crew.ways[0].lines
            yield from self._job("crew", n, [(*pencil.times[crew.task], people)], lines)
        for n, visits in sorted(pencil.tends.items()):
            stretches = [(v.start, v.end, v.people) for v in visits]
            yield from self._job("tend", n, stretches, problem.tends[n].lines)
        for n, v in sorted(pencil.adds.items()):
            yield from self._job("add", n, [(v.start, v.end, v.people)], problem.adds[n].lines)

    def _job(
        self,
        kind: str,
        n: int,
        stretches: list[tuple[int, int, tuple[int, ...]]],
        lines: tuple[Line, ...],
    ) -> Iterator[Job]:
        slots = [line.people for line in lines for _ in range(line.count)]
        crews = [list(people) for _, _, people in stretches]
        self.crews.append((kind, n, crews))
        for (start, end, _), crew in zip(stretches, crews, strict=True):
            for slot, people in enumerate(slots):
                yield Job(start, end, people, crew, slot)

    def _shift_of(self, person: int, start: int, end: int) -> Shift:
        return next(s for s in self.shifts if s.person == person and s.holds(start, end))

    # -- how much they work ------------------------------------------------------------

    @property
    def use(self) -> float:
        """Part of everybody's time on shift that is spent at work."""
        return sum(s.worked for s in self.shifts) / max(1, sum(s.there for s in self.shifts))

    # -- fewer hands -------------------------------------------------------------------

    def tighten(self, target: float) -> None:
        """Hand over what idle people do and send them home; cut idle ends off shifts."""
        while self.use < target and self._send_home(target):
            pass
        for shortest in (SHORTEST, SHORTEST * 3 // 4, SHORTEST // 2):
            cuts = sorted(self.shifts, key=lambda s: (s.worked - s.there, s.person))
            for shift in cuts:
                if self.use >= target:
                    return
                self._cut(shift, shortest)

    def _send_home(self, target: float) -> bool:
        """Close every shift whose work others on shift can do; was there one?"""
        closed = False
        for shift in sorted(self.shifts, key=lambda s: (s.worked, s.person)):
            if self.use >= target:
                break
            taken: list[tuple[Job, Shift]] = []
            for job in sorted(shift.jobs, key=lambda j: j.start):
                to = self._other(job, shift)
                if to is None:
                    break
                to.jobs.append(job)
                taken.append((job, to))
            if len(taken) < len(shift.jobs) or not self._covered_without(shift, shift.pieces):
                for job, to in taken:
                    to.jobs.remove(job)
                continue
            for job, to in taken:
                job.crew[job.slot] = to.person
            self.shifts.remove(shift)
            closed = True
        return closed

    def _other(self, job: Job, shift: Shift) -> Shift | None:
        """The busiest shift that could take a job over."""
        able = [
            s
            for s in self.shifts
            if s is not shift
            and s.person in job.people
            and s.person not in job.crew
            and s.holds(job.start, job.end)
            and s.free(job.start, job.end)
        ]
        return max(able, key=lambda s: (s.worked, -s.person), default=None)

    def _cut(self, shift: Shift, shortest: int) -> None:
        """Cut a shift to what lies between its first and its last job."""
        if not shift.jobs:
            if self._covered_without(shift, shift.pieces):
                self.shifts.remove(shift)
            return
        first = min(j.start for j in shift.jobs) // QUARTER * QUARTER
        last = -(-max(j.end for j in shift.jobs) // QUARTER) * QUARTER
        whole = (shift.pieces[0][0], shift.pieces[-1][1])
        lacks = shortest - (last - first)
        if lacks > 0:
            first = max(whole[0], first - lacks // 2 // QUARTER * QUARTER)
            last = min(whole[1], max(last, first + shortest))
            first = max(whole[0], min(first, last - shortest))
        pieces = [(max(a, first), min(b, last)) for a, b in shift.pieces]
        pieces = [(a, b) for a, b in pieces if a < b]
        if len(pieces) > 1:
            pieces = [
                (a, b)
                for a, b in pieces
                if b - a >= STUB or any(j.start < b and a < j.end for j in shift.jobs)
            ]
        gone = [(whole[0], pieces[0][0]), (pieces[-1][1], whole[1])]
        if self._covered_without(shift, [(a, b) for a, b in gone if a < b]):
            shift.pieces = pieces

    # -- more hands --------------------------------------------------------------------

    def loosen(self, target: float) -> None:
        """Open more shifts, where hands are shortest first, until all are idle enough."""
        spare = list(self._spare())
        section = [name.rsplit("-", 1)[0] for name, _ in self.problem.people]
        names = sorted(set(section))
        row = [names.index(s) for s in section]
        # Strain: hands at work over hands on shift, in each section and (last row) in the house.
        load = np.zeros((len(names) + 1, self.problem.horizon))
        there = np.ones_like(load)
        for p, taken in enumerate(self.pencil.taken):
            load[[row[p], -1]] += taken
        for s in self.shifts:
            for a, b in s.pieces:
                there[[row[s.person], -1], a:b] += 1
        worked = sum(s.worked for s in self.shifts)
        total = sum(s.there for s in self.shifts)
        while spare and worked > target * total:
            strain = np.cumsum((load / there) ** 2, axis=1)

            def relief(s: Shift, strain: NDArray[np.float64] = strain) -> float:
                rows = strain[[row[s.person], -1]]
                return float(sum((rows[:, b - 1] - rows[:, a - 1]).sum() for a, b in s.pieces))

            most = sorted(spare, key=lambda s: (-relief(s), s.person))
            for shift in most[: 1 + len(spare) // 40]:
                if worked <= target * total:
                    break
                self.shifts.append(shift)
                spare.remove(shift)
                total += shift.there
                for a, b in shift.pieces:
                    there[[row[shift.person], -1], a:b] += 1

    # -- somebody in the house ---------------------------------------------------------

    def cover(self) -> None:
        """Open shifts until somebody is in the house wherever something must not run alone."""
        for shift in self._spare():
            a, b = shift.pieces[0][0], shift.pieces[-1][1]
            here = np.zeros(self.problem.horizon, dtype=bool)
            for s in self.shifts:
                here[s.pieces[0][0] : s.pieces[-1][1]] = True
            lacks = self.need & ~here
            if not bool(lacks.any()):
                return
            if bool(lacks[a:b].any()):
                self.shifts.append(shift)

    def _spare(self) -> Iterator[Shift]:
        have = {(s.person, s.pieces[0][0] // DAY) for s in self.shifts}
        for p, (_, pieces) in enumerate(self.problem.people):
            for shift in shifts_of(pieces):
                if (p, shift[0][0] // DAY) not in have:
                    yield Shift(p, shift)

    def _needed(self) -> Bools:
        """Ticks at which somebody has to be in the house."""
        need = np.zeros(self.problem.horizon, dtype=bool)
        for t, (start, end) in self.pencil.times.items():
            if self.problem.tasks[t].within is not None:
                need[start:end] = True
        return need

    def _covered_without(self, shift: Shift, gone: list[tuple[int, int]]) -> bool:
        """Is somebody still in the house wherever one must be?"""
        if not gone:
            return True
        first, last = gone[0][0], gone[-1][1]
        out = np.zeros(last - first, dtype=bool)
        for a, b in gone:
            out[a - first : b - first] = True
        if len(gone) == len(shift.pieces) and gone == shift.pieces:
            out[:] = True
        lacks = self.need[first:last] & out
        if not bool(lacks.any()):
            return True
        for s in self.shifts:
            if s is not shift:
                a, b = s.pieces[0][0], s.pieces[-1][1]
                if a < last and b > first:
                    lacks[max(0, a - first) : max(0, b - first)] = False
        return not bool(lacks.any())

    # -- the answer ----------------------------------------------------------------------

    def write_back(self) -> None:
        """Tell the pencil who does what now."""
        for kind, n, crews in self.crews:
            if kind == "crew":
                self.pencil.crews[n] = tuple(crews[0])
            elif kind == "tend":
                old = self.pencil.tends[n]
                self.pencil.tends[n] = tuple(
                    Placed(v.start, v.end, tuple(crew))
                    for v, crew in zip(old, crews, strict=True)
                )
            else:
                v = self.pencil.adds[n]
                self.pencil.adds[n] = Placed(v.start, v.end, tuple(crews[0]))

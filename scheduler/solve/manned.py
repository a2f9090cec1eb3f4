"""Who can be on the tasks of a chain, and for how long, whichever way they are manned."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.hands import brief_way, crew_until, one_person
from scheduler.solve.leaving import THROUGH

if TYPE_CHECKING:
    from scheduler.solve.arrays import Ints
    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain
    from scheduler.workload.primitives import Crew, Way


@dataclass(frozen=True, slots=True)
class Manned:
    """One way in which all crews of a task may be: from each start the ends it allows."""

    ways: tuple[Way, ...]
    first: Ints
    last: Ints
    price: int


class Manning:
    """Ways to be on each task of a chain.

    Parameters
    ----------
    board : Board
    chain : Chain
    bounds : (list of int, list of int)
        First and last tick of every boundary.
    copies : list of int
        For each task how many loads want hands at once.
    """

    def __init__(
        self, board: Board, chain: Chain, bounds: tuple[list[int], list[int]], copies: list[int]
    ) -> None:
        self.board, self.problem, self.chain = board, board.problem, chain
        (self.low, self.high), self.copies = bounds, copies

    def until(self, i: int, crew: Crew, way: Way, n: int) -> Ints:
        """How long task i can be manned in that way from each of its starts."""
        lo, hi = self.low[2 * i], self.high[2 * i + 1]
        brief = brief_way(self.board, crew, way)
        return lo + crew_until(self.board, way.lines * self.copies[i], lo, hi, brief)[:n]

    def open(self, i: int, crew: Crew) -> bool:
        """Is there more than one way to be on task i, or to be away from it?"""
        if len(crew.ways) > 1:
            return True
        alone = one_person(crew.ways[0].lines)
        return crew.leave is not None and self.copies[i] == 1 and (alone or crew.leave.breaks)

    def ways(self, i: int, t: Ints) -> list[Manned]:
        """How task i may be manned; nothing where there is one way."""
        crews = [self.problem.crews[k] for k in self.chain.crews.get(i, ())]
        several = [
            [(way, *ends) for way in crew.ways for ends in self._ends(i, crew, way, t)]
            for crew in crews
            if self.open(i, crew)
        ]
        if not several:
            return []
        return [
            Manned(
                tuple(way for way, _, _ in ways),
                np.maximum.reduce([first for _, first, _ in ways]),
                np.minimum.reduce([last for _, _, last in ways]),
                sum(way.price for way, _, _ in ways),
            )
            for ways in product(*several)
        ]

    def _ends(self, i: int, crew: Crew, way: Way, t: Ints) -> list[tuple[Ints, Ints]]:
        """First and last ends of task i manned in one way.

        One person who may step away has several: with nothing else in between anywhere up to
        the last that anybody allows; with so many leavings each person has ends of their own.
        Several have more than one where they pause over breaks.
        """
        jobs, hi = self.board.leavings, self.high[2 * i + 1]
        if jobs is None or crew.leave is None or self.copies[i] > 1 or not one_person(way.lines):
            until = np.minimum(self.until(i, crew, way, len(t)), t + way.most)
            straight = t + way.least, until
            if jobs is None or crew.leave is None or not crew.leave.breaks or self.copies[i] > 1:
                return [straight]
            lo = self.low[2 * i]
            through = lo + crew_until(self.board, way.lines, lo, hi, THROUGH)[: len(t)]
            who = {p for line in way.lines for p in line.people}
            limit = np.minimum(through, t + way.most)
            return [straight, *jobs.rooms_together(who, crew.leave, way.least, t, limit)[1:]]
        most = min(way.most, self.problem.tasks[crew.task].most)
        people = way.lines[0].people
        each = [jobs.rooms(p, crew.leave, way.least, t, most, hi) for p in people]
        last = np.maximum.reduce([ends[0][1] for ends in each])
        return [(each[0][0][0], last), *(e for ends in each for e in ends[1:])]

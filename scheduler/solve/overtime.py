"""Overtime, and rest that may be eaten, on a board: how much is used, how much a search sees."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.objective import of_each
from scheduler.workload.primitives import Money

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from scheduler.solve.arrays import Bools
    from scheduler.solve.board import Board
    from scheduler.workload.primitives import Extra, Used


class Overtime:
    """The stretches of a board's people that cost.

    Parameters
    ----------
    board : Board

    Attributes
    ----------
    shut : array of bool, person x tick
        What a search for a place must not use; what is placed may lie in it.
    used : list of int
        Ticks in use of each.
    longest, reach : tuple of (int, int)
        The longest overtime and rest there are; so many more ticks of each are
        open to a search.
    """

    def __init__(self, board: Board) -> None:
        self.board = board
        self.extras = board.problem.extras
        self.of: list[list[int]] = [[] for _ in board.problem.people]
        self.shut: NDArray[np.bool_] = np.zeros_like(board.away)
        self.used = [0] * len(self.extras)
        self.reach = (0, 0)
        for n, extra in enumerate(self.extras):
            self.of[extra.person].append(n)
            self.shut[extra.person, extra.start : extra.end] = True
        self.longest = self._longest(rest=False), self._longest(rest=True)

    def _longest(self, rest: bool) -> int:
        return max((x.end - x.start for x in self.extras if x.rest == rest), default=0)

    @property
    def total(self) -> Used:
        """Ticks in use of all of them."""
        return of_each(self.board.problem, self.used)

    @property
    def open(self) -> bool:
        """May a search see more than is in use?"""
        return any(self.reach)

    def openings(self) -> Iterator[tuple[int, int]]:
        """How far to open for what finds no place: a quarter of the longest overtime, half, all;
        then as much of rest as well."""
        overtime, rest = self.longest
        yield from dict.fromkeys((-(-overtime // part), 0) for part in (4, 2, 1) if overtime)
        yield from dict.fromkeys((overtime, -(-rest // part)) for part in (4, 2, 1) if rest)

    def hidden(self, person: int, busy: Bools) -> Bools:
        """When a search must not take somebody who is busy then."""
        row: Bools = busy | self.shut[person] if self.of[person] else busy
        return row

    def refresh(self, person: int) -> None:
        """Something of theirs has changed: what is used, and what is open beyond; idle time is
        paid too, so that it is open."""
        for n in self.of[person]:
            extra = self.extras[n]
            used = self.used[n] = self._used(person, extra)
            opened = min(used + self.reach[extra.rest], extra.end - extra.start)
            self.shut[person, extra.start : extra.end] = True
            if extra.at_end:
                self.shut[person, extra.start : extra.start + opened] = False
            else:
                self.shut[person, extra.end - opened : extra.end] = False

    def _used(self, person: int, extra: Extra) -> int:
        """Ticks of one in use; what is used of it is busy."""
        if not self.board.busy[person, extra.start : extra.end].any():
            return 0
        return max((extra.used(s, e) for s, e, _ in self.board.spells[person]), default=0)

    def extend(self, overtime: int, rest: int) -> None:
        """Open so many ticks of everybody's beyond what is used already."""
        if self.reach != (overtime, rest):
            self.reach = overtime, rest
            self.board.refresh({extra.person for extra in self.extras})

    def close(self) -> None:
        """Open nothing beyond what is used already."""
        self.extend(0, 0)

    def longer(self, person: int, start: int, end: int) -> int:
        """What so much more work of a person would add: ticks, by what an hour of them costs."""
        money = self.board.problem.money or Money()
        return sum(
            max(0, self.extras[n].used(start, end) - self.used[n])
            * max(1, money.rest_hour if self.extras[n].rest else money.hour)
            for n in self.of[person]
        )

    def has(self, b: int) -> bool:
        """Does a placed batch lie in it?"""
        return any(
            self.extras[n].used(start, end) > 0
            for p, start, end in self.board.people_of.get(b, ())
            for n in self.of[p]
        )

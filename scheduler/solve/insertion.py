"""The best place for one batch with everything else where it is.

Ranges, waits, shelves, shared machines, oven states, crews and visits all
become a first and last end for every start of a segment (`sweep`), so a
segment is a few range minima. Exact for a chain whose costs are local; loads
are put one after the other, and links between tasks that are not neighbours
are checked afterwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF, next_blocked
from scheduler.solve.board import Placement
from scheduler.solve.dressing import Dressing
from scheduler.solve.frame import LOOSE, frame, longest
from scheduler.solve.housing import Housing
from scheduler.solve.manned import Manned, Manning
from scheduler.solve.outside import add_starts, hold_mask, hold_options
from scheduler.solve.sparing import spare_hands
from scheduler.solve.sweep import Segment, Sweep
from scheduler.solve.visits import add_first, possible_starts, tend_ends, tend_reach, window_reach

if TYPE_CHECKING:
    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain
    from scheduler.solve.outside import Holds
    from scheduler.solve.sweep import Combo
    from scheduler.workload.primitives import Band, Task


Taboo = Sequence[tuple[int, int]]
TRIES = 40
"""Paths followed before a chain whose visits cannot be manned has no place."""


class Insertion:
    """One search for a place; `placement()` is the answer.

    Parameters
    ----------
    board : Board
        Everything else.
    chain : Chain
        A batch, or one load of it.
    tight : int or None
        At most so many ticks between tasks that no link ties together.
    taboo : sequence of (int, int)
        Stretches in which it shall not start.
    abreast : bool
        Hands and machines for all loads of a group at once, where one load stands for them.
    banned : frozenset of (choice, option)
    stagger : bool
        Or time before that load in which the others can be begun one after the other.
    """

    def __init__(
        self,
        board: Board,
        chain: Chain,
        tight: int | None = None,
        taboo: Taboo = (),
        abreast: bool = False,
        stagger: bool = False,
        banned: frozenset[tuple[int, int]] = frozenset(),
    ) -> None:
        self.banned = banned
        self.copies = [1] * len(chain.tasks)
        self.extra = [0] * len(chain.tasks)
        for first, last, loads in chain.lanes:
            if abreast:
                self.copies[first : last + 1] = [loads] * (last + 1 - first)
            elif stagger:
                self.extra[first] = (loads - 1) * board.problem.tasks[chain.tasks[first]].least
        self.board = board
        self.problem = board.problem
        self.chain = chain
        self.tight = tight
        self.taboo = taboo
        self.cost = 0
        """What the search says the place costs (bands and stretch the batch touches)."""

    # -- the answer ------------------------------------------------------------

    def placement(self) -> Placement | None:
        """The cheapest place, or None where there is none."""
        bounds = frame(self.board, self.chain, self.tight)
        if bounds is None:
            return None
        self.low, self.high = bounds
        self.manning = Manning(self.board, self.chain, bounds, self.copies)
        self._open_choices()
        self._outside()
        self._segments()
        scale = 1
        if any(len(ways) > 1 for ways in self.manned.values()):
            scale = spare_hands(self.board.index, self.segments, self.outside, self.manned)
        ranges = list(zip(self.low, self.high, strict=True))
        sweep = Sweep(self.segments, self.outside, ranges, self.reach, self.problem.grid)
        upto = len(self.segments) - 1
        for _ in range(TRIES):
            found = sweep.follow() if sweep.run(upto) else None
            if found is None:
                return None
            cost, path, combos = found
            self.cost = cost // scale
            placement = self._dressing().dress(path, combos)
            if isinstance(placement, Placement):
                return placement
            self._bar(placement, path)
            upto = placement
        return None

    def _dressing(self) -> Dressing:
        return Dressing(self.board, self.chain, self.low, self.starts, self.holds)

    def _housing(self) -> Housing:
        bounds = (self.low, self.high)
        return Housing(self.board, self.chain, bounds, self.copies, self.holds)

    # -- choices -----------------------------------------------------------------

    def _open_choices(self) -> None:
        """Which choices with several options are open on each segment, in all combinations."""
        segments = 2 * len(self.chain.tasks) - 1
        reach: dict[int, tuple[int, int]] = {}
        for span in self.chain.spans:
            choice = self.problem.uses[span.use].choice
            if len(self.problem.choices[choice].options) > 1:
                a, b = reach.get(choice, (span.first, span.last))
                reach[choice] = (min(a, span.first), max(b, span.last))
        self.reach = reach
        open_ = [sorted(c for c, (a, b) in reach.items() if a <= j < b) for j in range(segments)]
        self.combos: list[list[Combo]] = [
            [
                tuple(zip(choices, options, strict=True))
                for options in product(*(self.allowed(c) for c in choices))
            ]
            for choices in open_
        ]
        self.combos.append([()])

    def allowed(self, choice: int) -> list[int]:
        """Options of a choice that are not banned."""
        options = range(len(self.problem.choices[choice].options))
        return [o for o in options if (choice, o) not in self.banned]

    # -- outside: links and holds to what is placed ---------------------------------

    def _outside(self) -> None:
        """outside[j]: cost of links to placed points with boundary j at t; INF: breaks one."""
        problem, board = self.problem, self.board
        self.outside: list[Ints] = [
            np.zeros(b - a + 1, dtype=np.int64) for a, b in zip(self.low, self.high, strict=True)
        ]
        for outer in self.chain.links:
            other, j = board.moment(outer.other), outer.boundary
            band = problem.links[outer.index].band
            if other is None or band is None:
                continue
            t = self._points(j)
            x = ((other - t) if outer.outward else (t - other)) * problem.grid
            self.outside[j] += band.weight * (
                np.maximum(0, band.low - x) + np.maximum(0, x - band.high)
            )
        add_starts(board, self.chain, self.low, self.high, self.outside)
        for a, b in self.taboo:
            self.outside[0][max(0, a - self.low[0]) : max(0, b - self.low[0])] = INF
        if problem.finish:
            done = max((e for _, e in board.times.values()), default=0)
            self.outside[-1] += np.maximum(0, self._points(-1) - done)
        groups: dict[tuple[int, bool], Holds] = {}
        for hold in self.chain.holds:
            other = board.moment(hold.other)
            if other is not None:
                groups.setdefault((hold.boundary, hold.outward), []).append((hold, other))
        self.holds = groups
        for (j, outward), holds in groups.items():
            ok = np.zeros(len(self.outside[j]), dtype=bool)
            for options in hold_options(board, holds):
                ok |= hold_mask(board, holds, options, outward, (self.low[j], self.high[j]))
            self.outside[j][~ok] = INF

    def _points(self, j: int) -> Ints:
        """Ticks that boundary j can have."""
        return np.arange(self.low[j], self.high[j] + 1, dtype=np.int64)

    # -- segments ------------------------------------------------------------------

    def _segments(self) -> None:
        """Which u may follow each t on each segment."""
        self.segments: list[Segment] = []
        self.starts: dict[tuple[str, int], Bools] = {}
        self.manned: dict[int, list[Manned]] = {}
        housing = self._housing()
        for j in range(2 * len(self.chain.tasks) - 1):
            t = self._points(j)
            first, last, band = self._task(j // 2, t) if j % 2 == 0 else self._gap(j // 2, t)
            rigid = self._rigid(j, first, t)
            ways = self.manned[j] = self.manning.ways(j // 2, t) if j % 2 == 0 else []
            spans = [s for s in self.chain.spans if s.first <= j < s.last]
            parts = [([s.use for s in spans], last)]
            brief = {
                s.use
                for s in spans
                if (s.first, s.last) == (j, j + 1) and self.problem.uses[s.use].grace > 0
            }
            if brief:  # waits so short that they need no shelf
                short = np.minimum(last, t + min(self.problem.uses[n].grace for n in brief))
                parts.append(([s.use for s in spans if s.use not in brief], short))
            rooms = housing.rooms(j, parts, self.combos[j], ways)
            prices = self._prices(j) if self.chain.priced else None
            self.segments.append(Segment(first, band, rooms, prices=prices, rigid=rigid))

    def _prices(self, j: int) -> dict[Combo, int]:
        """What the options cost that are taken when a segment begins."""
        of, reach = self.problem.choices, self.reach
        return {
            x: sum(of[c].options[o].price for c, o in x if reach[c][0] == j) for x in self.combos[j]
        }

    def _task(self, i: int, t: Ints) -> tuple[Ints, Ints, Band | None]:
        task: Task = self.problem.tasks[self.chain.tasks[i]]
        lo, hi, n = self.low[2 * i], self.high[2 * i + 1], len(t)
        first = t + task.least
        last = t + task.most
        if task.within is not None:
            outside = np.ones(hi - lo, dtype=bool)
            for a, b in task.within:
                outside[max(0, a - lo) : max(0, b - lo)] = False
            last = np.minimum(last, lo + next_blocked(outside)[:n])
        for k in self.chain.crews.get(i, ()):
            crew = self.problem.crews[k]
            ways = crew.ways
            if not self.manning.open(i, crew):
                last = np.minimum(last, self.manning.until(i, crew, ways[0], n))
                if ways[0].least > task.least:
                    first = t + ways[0].least
                if ways[0].most < task.most:
                    last = np.minimum(last, t + ways[0].most)
        for k in self.chain.tends.get(i, ()):
            tend = self.problem.tends[k]
            starts = self.starts["tend", k] = possible_starts(self.board, tend, lo, hi)
            if tend.gap is not None:
                reach = tend_reach(starts, tend, task.most)
            else:
                reach = window_reach(starts, tend, lo)
            last = np.minimum(last, lo + reach[:n])
        for k in self.chain.adds.get(i, ()):
            add = self.problem.adds[k]
            starts = self.starts["add", k] = possible_starts(self.board, add, lo, hi)
            first = np.maximum(first, lo + add_first(starts, add)[:n])
        return first, last, task.stretch

    def _gap(self, i: int, t: Ints) -> tuple[Ints, Ints, Band | None]:
        gap = self.chain.gaps[i]
        band = gap.band if gap.band is not None else (LOOSE if gap.loose else None)
        least = gap.least + self.extra[i + 1]
        return t + least, t + longest(self.board, gap, self.tight), band

    def _rigid(self, j: int, first: Ints, t: Ints) -> bool:
        """Is there one end for every start? `frame` then leaves as many ticks to both."""
        i = j // 2
        if j % 2:
            gap, extra = self.chain.gaps[i], self.extra[i + 1]
            return not extra and gap.least == longest(self.board, gap, self.tight)
        task = self.problem.tasks[self.chain.tasks[i]]
        return task.least == task.most and bool(np.all(first == t + task.least))

    def _bar(self, segment: int, path: list[int]) -> None:
        """That start could not be dressed: from now on only ends that can be tended, or none."""
        i, t = segment // 2, path[segment]
        tends = self.chain.tends.get(i, [])
        known = self.segments[segment].barred
        ends: Bools | None = None
        if t not in known and len(tends) == 1 and not self.chain.adds.get(i):
            tend = self.problem.tends[tends[0]]
            if tend.gap is not None:
                lo, (a, b) = self.low[segment], (self.low[segment + 1], self.high[segment + 1])
                ends = tend_ends(self.starts["tend", tends[0]], tend, t - lo)[a - lo : b + 1 - lo]
        known[t] = ends

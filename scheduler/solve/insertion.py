"""The best place for one batch with everything else where it is.

Backward dynamic programming over the grid. With boundaries 0 .. 2m - 1 (start
and end of each of the batch's m tasks),

    cost[j][t] = outside[j][t] + min over u of cost[j + 1][u] + band_j(u - t)

where u runs over the lengths that segment j (a task, or the wait after one)
may have from t before something it needs is taken, and outside[j][t] is what
links to placed batches cost there. Ranges, waits, shelves, shared machines,
oven states, crews and visits all become a first and last u for every t, so a
segment is a few range minima. Exact for a chain whose costs are local; loads
are put one after the other, and links between tasks that are not neighbours
are checked afterwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF, cheapest, next_blocked, pick
from scheduler.solve.board import Placement
from scheduler.solve.dressing import Dressing
from scheduler.solve.frame import LOOSE, frame, longest
from scheduler.solve.hands import crew_until
from scheduler.solve.outside import hold_mask, hold_options
from scheduler.solve.visits import add_first, possible_starts, tend_ends, tend_reach, window_reach

if TYPE_CHECKING:
    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain
    from scheduler.solve.outside import Holds
    from scheduler.workload.primitives import Band, Option, Task

Taboo = Sequence[tuple[int, int]]
Combo = tuple[tuple[int, int], ...]
"""Options taken for the choices open on a segment: (choice, option), in order of choice."""
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
        self.lo, self.hi = 0, 0
        self.cost = 0
        """What the search says the place costs (bands and stretch the batch touches)."""

    # -- the answer ------------------------------------------------------------

    def placement(self) -> Placement | None:
        """The cheapest place, or None where there is none."""
        bounds = frame(self.board, self.chain, self.tight)
        if bounds is None:
            return None
        self.low, self.high = bounds
        self.lo, self.hi = min(self.low), max(self.high)
        self.n = self.hi - self.lo + 1
        self.t = np.arange(self.n, dtype=np.int64)
        self._open_choices()
        self._outside()
        self._segments()
        if not self._sweep(len(self.first) - 1):
            return None
        for _ in range(TRIES):
            found = self._follow()
            if found is None:
                return None
            path, combos = found
            placement = Dressing(self.board, self.chain, self.lo, self.starts, self.holds).dress(
                path, combos
            )
            if isinstance(placement, Placement):
                return placement
            self._bar(placement, path)
            if not self._sweep(placement):
                return None
        return None

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

    def _option(self, use: int, combo: Combo) -> Option:
        choice = self.problem.uses[use].choice
        options = self.problem.choices[choice].options
        return options[dict(combo).get(choice, 0)]

    # -- outside: links and holds to what is placed ---------------------------------

    def _outside(self) -> None:
        """outside[j][t]: cost of links to placed points with boundary j at t; INF: breaks one."""
        problem, board = self.problem, self.board
        boundaries = 2 * len(self.chain.tasks)
        self.outside: list[Ints] = []
        for j in range(boundaries):
            array = np.zeros(self.n, dtype=np.int64)
            array[: max(0, self.low[j] - self.lo)] = INF
            array[self.high[j] - self.lo + 1 :] = INF
            self.outside.append(array)
        for outer in self.chain.links:
            other = board.moment(outer.other)
            band = problem.links[outer.index].band
            if other is None or band is None:
                continue
            x = (other - self.lo - self.t) if outer.outward else (self.t - other + self.lo)
            x = x * problem.grid
            self.outside[outer.boundary] += band.weight * (
                np.maximum(0, band.low - x) + np.maximum(0, x - band.high)
            )
        for a, b in self.taboo:
            self.outside[0][max(0, a - self.lo) : max(0, b - self.lo)] = INF
        if problem.finish:
            done = max((e for _, e in board.times.values()), default=0) - self.lo
            self.outside[-1] += np.maximum(0, self.t - done)
        groups: dict[tuple[int, bool], Holds] = {}
        for hold in self.chain.holds:
            other = board.moment(hold.other)
            if other is not None:
                groups.setdefault((hold.boundary, hold.outward), []).append((hold, other))
        self.holds = groups
        for (boundary, outward), holds in groups.items():
            ok = np.zeros(self.n, dtype=bool)
            for options in hold_options(board, holds):
                ok |= hold_mask(board, holds, options, outward, (self.lo, self.hi))
            self.outside[boundary][~ok] = INF

    # -- segments ------------------------------------------------------------------

    def _segments(self) -> None:
        """first[j] and, per combination, last[j]: which u may follow each t on segment j."""
        self.first: list[Ints] = []
        self.last: list[dict[Combo, Ints]] = []
        self.bands: list[Band | None] = []
        self.brief: list[dict[Combo, Ints]] = []
        """Like `last`, for waits so short that they need no shelf."""
        self.barred: dict[int, dict[int, Bools | None]] = {}
        self.starts: dict[tuple[str, int], Bools] = {}
        for j in range(2 * len(self.chain.tasks) - 1):
            if j % 2 == 0:
                first, last, band = self._task(j // 2)
            else:
                first, last, band = self._gap(j // 2)
            spans = [s for s in self.chain.spans if s.first <= j < s.last]
            uses = [s.use for s in spans]
            brief = {
                s.use
                for s in spans
                if (s.first, s.last) == (j, j + 1) and self.problem.uses[s.use].grace > 0
            }
            self.first.append(first)
            self.bands.append(band)
            self.last.append({combo: self._room(uses, combo, last, j) for combo in self.combos[j]})
            self.brief.append({})
            if brief:
                short = self.t + min(self.problem.uses[n].grace for n in brief)
                rest = [n for n in uses if n not in brief]
                self.brief[j] = {
                    combo: self._room(rest, combo, np.minimum(last, short), j)
                    for combo in self.combos[j]
                }

    def _task(self, i: int) -> tuple[Ints, Ints, Band | None]:
        task: Task = self.problem.tasks[self.chain.tasks[i]]
        first = self.t + task.least
        last = self.t + task.most
        if task.within is not None:
            outside = np.ones(self.n - 1, dtype=bool)
            for a, b in task.within:
                outside[max(0, a - self.lo) : max(0, b - self.lo)] = False
            last = np.minimum(last, next_blocked(outside))
        for n in self.chain.crews.get(i, ()):
            lines = self.problem.crews[n].lines * self.copies[i]
            last = np.minimum(last, crew_until(self.board, lines, self.lo, self.hi))
        for n in self.chain.tends.get(i, ()):
            tend = self.problem.tends[n]
            starts = possible_starts(self.board, tend, self.lo, self.hi)
            self.starts["tend", n] = starts
            if tend.gap is not None:
                last = np.minimum(last, tend_reach(starts, tend, task.most))
            else:
                last = np.minimum(last, window_reach(starts, tend, self.lo))
        for n in self.chain.adds.get(i, ()):
            add = self.problem.adds[n]
            starts = possible_starts(self.board, add, self.lo, self.hi)
            self.starts["add", n] = starts
            first = np.maximum(first, add_first(starts, add))
        return first, last, task.stretch

    def _gap(self, i: int) -> tuple[Ints, Ints, Band | None]:
        gap = self.chain.gaps[i]
        band = gap.band if gap.band is not None else (LOOSE if gap.loose else None)
        least = gap.least + self.extra[i + 1]
        return self.t + least, self.t + longest(self.board, gap, self.tight), band

    def _room(self, uses: list[int], combo: Combo, last: Ints, segment: int) -> Ints:
        """Cut `last` at the first tick at which something the segment uses is taken."""
        need: dict[tuple[int, int | None], int] = {}
        for n in uses:
            option = self._option(n, combo)
            key = (option.resource, option.state)
            amount = self.problem.uses[n].amount
            copies = self.copies[segment // 2] if segment % 2 == 0 else 1
            if amount * copies <= self.problem.resources[option.resource].capacity:
                amount *= copies
            need[key] = need.get(key, 0) + amount
        for (resource, state), amount in need.items():
            extra = self._inbound(resource, segment)
            full = self.board.full(resource, amount, state, self.lo, self.hi)
            if extra is not None:
                room = self.problem.resources[resource].capacity - amount - extra
                full = full | (self.board.used[resource, self.lo : self.hi] > room)
            last = np.minimum(last, next_blocked(full))
        return last

    def _inbound(self, resource: int, segment: int) -> Ints | None:
        """What holds that end at a later boundary of this batch already take of a resource."""
        extra: Ints | None = None
        for (boundary, outward), holds in self.holds.items():
            if outward or boundary <= segment:
                continue
            for hold, other in holds:
                use = self.problem.uses[hold.index]
                options = self.problem.choices[use.choice].options
                if len(options) == 1 and options[0].resource == resource:
                    if extra is None:
                        extra = np.zeros(self.hi - self.lo, dtype=np.int64)
                    extra[max(0, other - self.lo) :] += use.amount
        return extra

    # -- the sweep -------------------------------------------------------------------

    def _sweep(self, segment: int) -> bool:
        """Fill cost[j] for boundaries up to segment + 1, from the right; False where all is INF."""
        grid = self.problem.grid
        last = len(self.first)
        if segment == last - 1:
            self.value: list[dict[Combo, Ints]] = [{} for _ in range(last + 1)]
            self.value[last] = {(): self.outside[last]}
        for j in range(segment, -1, -1):
            right = self._merge(j)
            self.value[j] = {}
            here = slice(self.low[j] - self.lo, self.high[j] - self.lo + 1)
            t, first, band = self.t[here], self.first[j][here], self.bands[j]
            for combo, limit in self.last[j].items():
                values = right[self._shared(combo, j + 1)]
                least = cheapest(values, t, first, limit[here], band, grid)
                if combo in self.brief[j]:
                    short = self.brief[j][combo][here]
                    least = np.minimum(least, cheapest(values, t, first, short, band, grid))
                cost = np.full(self.n, INF, dtype=np.int64)
                cost[here] = least + self.outside[j][here]
                for start, ends in self.barred.get(j, {}).items():
                    cost[start] = self._exactly(j, start, combo, values, ends)
                cost[cost >= INF // 2] = INF
                self.value[j][combo] = cost
            if all(bool((v >= INF).all()) for v in self.value[j].values()):
                return False
        return True

    def _shared(self, combo: Combo, boundary: int) -> Combo:
        """The part of a segment's combination that stays open on the next segment."""
        if boundary >= len(self.first):
            return ()
        return tuple((c, o) for c, o in combo if self.reach[c][1] > boundary)

    def _merge(self, j: int) -> dict[Combo, Ints]:
        """cost[j + 1] per combination that segment j shares with the next; choices that begin
        there are taken at their best."""
        out: dict[Combo, Ints] = {}
        for combo, values in self.value[j + 1].items():
            key = tuple((c, o) for c, o in combo if self.reach[c][0] <= j)
            out[key] = np.minimum(out[key], values) if key in out else values
        return out

    def _follow(self) -> tuple[list[int], list[Combo]] | None:
        """The latest cheapest path through the boundaries, as local points, with its options."""
        combo: Combo = ()
        t, best = -1, INF
        for key, values in self.value[0].items():
            i = len(values) - 1 - int(values[::-1].argmin())
            if int(values[i]) < best:
                combo, t, best = key, i, int(values[i])
        if t < 0:
            return None
        self.cost = best
        path, combos = [t], [combo]
        for j in range(len(self.first)):
            shared = self._shared(combo, j + 1)
            choice: tuple[int, int, Combo] = (INF, -1, ())
            for key, values in self.value[j + 1].items():
                if tuple((c, o) for c, o in key if self.reach[c][0] <= j) != shared:
                    continue
                first, limit = int(self.first[j][t]), int(self.last[j][combo][t])
                ends = self.barred.get(j, {}).get(t)
                if ends is not None:
                    values = np.where(ends, values, INF)
                u, cost = pick(values, t, first, limit, self.bands[j], self.problem.grid)
                if combo in self.brief[j]:
                    short = int(self.brief[j][combo][t])
                    v, other = pick(values, t, first, short, self.bands[j], self.problem.grid)
                    if other < cost:
                        u, cost = v, other
                if cost < choice[0]:
                    choice = (cost, u, key)
            if choice[1] < 0:
                return None
            t, combo = choice[1], choice[2]
            path.append(t)
            combos.append(combo)
        return path, combos

    def _bar(self, segment: int, path: list[int]) -> None:
        """That start could not be dressed: from now on only ends that can be tended, or none."""
        i, t = segment // 2, path[segment]
        tends = self.chain.tends.get(i, [])
        known = self.barred.setdefault(segment, {})
        ends: Bools | None = None
        if t not in known and len(tends) == 1 and not self.chain.adds.get(i):
            tend = self.problem.tends[tends[0]]
            if tend.gap is not None:
                ends = tend_ends(self.starts["tend", tends[0]], tend, t)
        known[t] = ends

    def _exactly(self, j: int, t: int, combo: Combo, values: Ints, ends: Bools | None) -> int:
        """The cost of one start whose ends are known one by one."""
        if ends is None:
            return INF
        allowed = np.where(ends, values, INF)
        first, last = int(self.first[j][t]), int(self.last[j][combo][t])
        cost = pick(allowed, t, first, last, self.bands[j], self.problem.grid)[1]
        return cost if cost == INF else cost + int(self.outside[j][t])

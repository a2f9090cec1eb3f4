"""Where a batch would go if others made way, and who would have to.

The same search for a place as `insertion`, on a board that holds only what
cannot move and what takes from the batch. Whatever else is placed is a toll
(`prices`), so the place that is found is the one that is cheapest to clear.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.cleaning import called_for, could_clean
from scheduler.solve.dressing import Dressing
from scheduler.solve.hands import brief_way
from scheduler.solve.housing import Housing
from scheduler.solve.insertion import Insertion, Taboo
from scheduler.solve.leaving import Away, Brief
from scheduler.solve.prices import Prices, toll
from scheduler.solve.rooms import in_the_way
from scheduler.solve.visits import brief_visit, possible_starts
from scheduler.workload.primitives import Option, way_taken

if TYPE_CHECKING:
    from collections.abc import Iterable

    from scheduler.solve.arrays import Ints
    from scheduler.solve.board import Board, Placement
    from scheduler.solve.housing import Need
    from scheduler.solve.index import Chain
    from scheduler.solve.outside import Holds
    from scheduler.solve.sweep import Combo, Room
    from scheduler.workload.primitives import Add, Clean, Line, Placed, Point, Tend, Use, Way

BUSY = 1 << 32
"""The price of somebody who cannot be there: above any other, far below no place."""
Demand = tuple[Option, int, int, int, int | None]
"""Option, amount, start, end, use."""


class Ejection(Insertion):
    """A search for the place that is cheapest to clear.

    Parameters
    ----------
    ghost : Board
        What cannot be asked to make way.
    chain : Chain
    prices : Prices
        Of everything else.
    taboo : sequence of (int, int)
        Stretches in which it shall not start.
    """

    def __init__(self, ghost: Board, chain: Chain, prices: Prices, taboo: Taboo = ()) -> None:
        super().__init__(ghost, chain, None, taboo)
        self.prices = prices
        self._tolls: dict[tuple[Option, int, int, int, bool], tuple[Ints, Ints]] = {}
        self._people: dict[int, tuple[Ints, Ints, Ints]] = {}

    def toll(self, option: Option, use: Use) -> tuple[Ints, Ints]:
        """The terms of a use taking a resource, from the first tick of the search on."""
        key = option, use.amount, use.sort, use.not_beside, use.shut
        if key not in self._tolls:
            stays = self.prices.stays(option, use.amount, use)
            self._tolls[key] = toll(stays, self.low[0], self.high[-1] + 1 - self.low[0])
        return self._tolls[key]

    def ticks(self, j: int) -> slice:
        """The ticks of boundary j in a toll."""
        return slice(self.low[j] - self.low[0], self.high[j] + 1 - self.low[0])

    def at(self, tick: int) -> int:
        """A tick's place in a toll."""
        return min(max(tick - self.low[0], 0), self.high[-1] - self.low[0])

    def _outside(self) -> None:
        super()._outside()
        for (boundary, outward), holds in self.holds.items():
            here = self.ticks(boundary)
            for hold, other in holds:
                use, at = self.problem.uses[hold.index], self.at(other)
                costs = []
                for option in self.problem.choices[use.choice].options:
                    entered, left = self.toll(option, use)
                    costs.append(entered[at] - left[here] if outward else entered[here] - left[at])
                self.outside[boundary] += np.maximum(np.minimum.reduce(costs), 0)

    def _segments(self) -> None:
        """Besides: a task with hands costs what the cheapest people for it cost."""
        super()._segments()
        for i, crews in self.chain.crews.items():
            here, there = self.ticks(2 * i), self.ticks(2 * i + 1)
            least = self.problem.tasks[self.chain.tasks[i]].least
            manned = [self.problem.crews[n] for n in crews]
            sure = [crew.ways[0] for crew in manned if not self.manning.open(i, crew)]
            several = [(*sure, *way.ways) for way in self.manned[2 * i]] or [(*sure,)]
            over = any(crew.leave is not None for crew in manned)
            costs = [sum(self._way(way, least, here, over) for way in ways) for ways in several]
            for rooms in self.segments[2 * i].rooms.values():
                for n, room in enumerate(rooms):
                    cost = costs[n % len(costs)]
                    if room.entered is None:
                        room.entered = np.zeros(there.stop - there.start, dtype=np.int64)
                    if room.left is None:
                        room.left = np.zeros(here.stop - here.start, dtype=np.int64)
                    room.left = room.left - cost

    def _way(self, way: Way, least: int, here: slice, over: bool) -> Ints:
        """For every start what the cheapest people cost for the shortest that a way lasts."""
        start = np.arange(here.start, here.stop)
        end = np.minimum(start + max(least, way.least), self.at(self.high[-1]))
        return self._crew(way.lines, start, end, over)

    def _crew(self, lines: tuple[Line, ...], start: Ints, end: Ints, over: bool) -> Ints:
        """For every start what the cheapest people cost until its end.

        A line that may take whoever an earlier one may takes the next cheapest. `over`: they
        may do something else in between.
        """
        total = np.zeros(len(start), dtype=np.int64)
        before: list[Line] = []
        for line in sorted(lines, key=lambda line: len(line.people)):
            costs = np.stack([self._hands(p, start, end, over) for p in line.people])
            skip = sum(x.count for x in before if set(x.people) & set(line.people))
            most = min(skip + line.count, len(costs))
            costs.partition(most - 1, axis=0)
            costs[:most].sort(axis=0)
            total += costs[max(0, most - line.count) : most].sum(axis=0)
            before.append(line)
        return total

    def _hands(self, person: int, start: Ints, end: Ints, over: bool) -> Ints:
        """For every start what a person's time costs until its end."""
        if person not in self._people:
            lo, hi = self.low[0], self.high[-1]
            entered, left = toll(self.prices.hands(person, lo, hi), lo, hi + 1 - lo)
            self._people[person] = entered, left, self.board.next_busy[person, lo : hi + 1] - lo
        entered, left, free = self._people[person]
        if over:
            return entered[end] - left[start]
        return np.where(free[start] >= end, entered[end] - left[start], BUSY)

    def _housing(self) -> Housing:
        return _Paying(self)

    def _dressing(self) -> Dressing:
        return _Yielding(self)


class _Paying(Housing):
    """Rooms that cost what is in the way there."""

    def __init__(self, search: Ejection) -> None:
        bounds = (search.low, search.high)
        super().__init__(search.board, search.chain, bounds, search.copies, search.holds)
        self.search = search

    def _own(self, needs: Iterable[Need]) -> bool:
        """Each unit has its own tolls; and `Ejection` changes each room in place."""
        return True

    def _fit(self, room: Room, uses: list[int], combo: Combo, segment: int) -> None:
        super()._fit(room, uses, combo, segment)
        if uses:
            search = self.search
            tolls = [search.toll(self.option(n, combo), self.problem.uses[n]) for n in uses]
            here, there = search.ticks(segment), search.ticks(segment + 1)
            shut = [] if room.entered is None else [room.entered]
            room.entered = np.sum([*shut, *(entered[there] for entered, _ in tolls)], axis=0)
            room.left = np.sum([left[here] for _, left in tolls], axis=0)


class _Yielding(Dressing):
    """Takes the people, moments and stores that are cheapest to clear."""

    def __init__(self, search: Ejection) -> None:
        super().__init__(search.board, search.chain, search.low, search.starts, search.holds)
        self.search = search
        self.prices = search.prices

    def _preference(self, person: int, start: int, end: int) -> tuple[int, ...]:
        price = self.prices.person(person, start, end)
        return (price, *super()._preference(person, start, end))

    def _options(self, holds: Holds, t: int, outward: bool) -> list[tuple[int, ...]]:
        here = self.search.at(t)

        def price(options: tuple[int, ...]) -> int:
            total = 0
            for (hold, other), o in zip(holds, options, strict=True):
                use = self.problem.uses[hold.index]
                option = self.problem.choices[use.choice].options[o]
                entered, left = self.search.toll(option, use)
                there = self.search.at(other)
                first, last = (here, there) if outward else (there, here)
                total += int(entered[last] - left[first])
            return total

        return sorted(super()._options(holds, t, outward), key=price)

    def _tending(
        self, n: int, start: int, end: int, closed: list[tuple[int, int]]
    ) -> list[int] | None:
        """Visits that nobody has to make way for, if there are such."""
        starts, tend = self.starts["tend", n], self.problem.tends[n]
        free = possible_starts(self.prices.board, tend, self.base, self.base + len(starts) - 1)
        visits = self._tended(free & starts, n, start, end, closed)
        return super()._tending(n, start, end, closed) if visits is None else visits


def make_way(board: Board, placement: Placement, prices: Prices) -> list[Placement] | None:
    """Put a batch in a place and take off whatever is in its way there.

    Returns
    -------
    list of Placement or None
        What was taken off; None, and the board as it was, where the place cannot be cleared.
    """
    cleans = dict(board.cleans)
    out: list[Placement] = []
    asked = {
        b
        for p, start, end in _spells(board, placement)
        for s, e, b in board.spells[p]
        if s < end and e > start and prices.price(b) is not None
    }
    out += [board.remove(b) for b in sorted(asked)]
    demands = _demands(board, placement)
    if (
        all(_clear(board, demand, prices, out) for demand in demands)
        and all(_hands_to_clean(board, demand, prices, out) for demand in demands)
        and board.place(placement)
    ):
        return out
    with board.restoring(cleans):
        for old in out:
            board.place(old)
    return None


def _spells(board: Board, placement: Placement) -> list[tuple[int, int, int]]:
    """Whose time a placement takes, and when; not where a job may be left for it as it is, or
    is itself left for what somebody does."""
    problem, jobs = board.problem, board.leavings
    found: list[tuple[int, int, int]] = []
    away: list[Away] = []

    def short(p: int, start: int, end: int, brief: Brief | None) -> bool:
        if jobs is None or brief is None or not jobs.free(p, start, end, brief, away):
            return False
        away.append(Away(p, start, end, brief.rest))
        return True

    for n, people in placement.crews.items():
        crew, (start, end) = problem.crews[n], placement.times[problem.crews[n].task]
        way = way_taken(crew, people, end - start) or crew.ways[0]
        brief = brief_way(board, crew, way)
        for p in people:
            alone = jobs is not None and crew.leave is not None and len(people) == 1
            around = alone and jobs is not None and jobs.can(crew, way, p, start, end)
            if not around and not short(p, start, end, brief):
                found.append((p, start, end))
    visits: list[tuple[Placed, Tend | Add]] = [
        (v, problem.tends[n]) for n, vs in placement.tends.items() for v in vs
    ]
    visits += [(v, problem.adds[n]) for n, v in placement.adds.items()]
    for v, of in visits:
        brief = brief_visit(board, of)
        for p in v.people:
            if not short(p, v.start, v.end, brief):
                found.append((p, v.start, v.end))
    return found


def _hands_to_clean(board: Board, demand: Demand, prices: Prices, out: list[Placement]) -> bool:
    """Somebody for each clean-down that a demand calls for: the cheapest to ask, if nobody is."""
    option, _, start, end, _ = demand
    for rule, first, last in called_for(board, option, start, end):
        if _free(board, rule, first, last):
            continue
        wanted = (first, first + rule.length)
        able = sorted(
            {p for line in rule.lines for p in line.people},
            key=lambda p: (prices.person(p, *wanted), p),
        )
        for person in able:
            spells = [b for s, e, b in board.spells[person] if s < wanted[1] and e > wanted[0]]
            if all(prices.price(b) is not None for b in spells if b in board.placed):
                out += [board.remove(b) for b in sorted(set(spells)) if b in board.placed]
            if _free(board, rule, first, last):
                break
        else:
            return False
    return True


def _free(board: Board, rule: Clean, first: int, last: int) -> bool:
    return bool(could_clean(board, rule, first, last).any())


def _demands(board: Board, placement: Placement) -> list[Demand]:
    """Everything a placement takes, each with what it takes of the same at the same time."""
    problem, chain = board.problem, board.index.chains[placement.batch]

    def moment(point: Point) -> int | None:
        times = placement.times.get(point.task)
        return board.moment(point) if times is None else times[1 if point.end else 0]

    found: list[Demand] = []
    for n in [s.use for s in chain.spans] + [h.index for h in chain.holds]:
        use = problem.uses[n]
        start, end = moment(use.start), moment(use.end)
        if start is not None and end is not None and end - start > use.grace:
            option = problem.choices[use.choice].options[placement.chosen.get(use.choice, 0)]
            found.append((option, use.amount, max(0, start), min(end, problem.horizon), n))
    for n, visits in placement.tends.items():
        for used in problem.tends[n].uses:
            option = Option(used.resource)
            found += [(option, used.amount, v.start, v.end, None) for v in visits]
    for n, visit in placement.adds.items():
        for used in problem.adds[n].uses:
            found.append((Option(used.resource), used.amount, visit.start, visit.end, None))
    stacked: list[Demand] = []
    for option, _, start, end, owner in found:
        amount = sum(
            x
            for other, x, a, b, _ in found
            if other.resource == option.resource and a < end and b > start
        )
        stacked.append((option, amount, start, end, owner))
    return stacked


def _clear(board: Board, demand: Demand, prices: Prices, out: list[Placement]) -> bool:
    """Take off the cheapest takers until a demand fits."""
    option, amount, start, end, use = demand
    index = board.index
    if use is not None and (option.resource in index.doors or option.resource in index.neighbours):
        for other in [*in_the_way(board, use, option.resource, start, end)]:
            owner = prices.owner(other)
            if other in board.stays and owner is None:
                return False
            if other in board.stays and owner is not None:
                out.append(board.remove(owner))
    while True:
        full = board.full(option.resource, amount, option.state, start, end)
        if not bool(full.any()):
            return True
        asked = {
            owner
            for n, a, b, _ in prices.takers(option)
            if bool(full[max(0, a - start) : max(0, b - start)].any())
            and (owner := prices.owner(n)) is not None
        }
        if not asked:
            return False
        out.append(board.remove(min(asked, key=lambda b: (prices.price(b) or 0, b))))

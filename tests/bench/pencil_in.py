"""Pencilling in one batch: step after step from its last one, each where it first fits.

Nothing looks ahead beyond steps that follow each other at once (or nearly),
nothing is moved to make room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from scheduler.workload.primitives import (
    Add,
    Crew,
    Line,
    Link,
    Option,
    Placed,
    Point,
    Problem,
    Tend,
    Use,
)
from tests.bench.pencil import Ints, Pencil

Bounds = dict[tuple[int, bool], int]
"""A tick for the start or end of a task."""

SETTLES = 400
"""So many moments of one block are tried to the end before it is given up …"""
NODES = 40_000
"""… and so many lengths and waits are looked at."""
ASKED = 120
"""Blocks are placed at most so often for one batch."""
NEARLY = 6
"""Ticks: steps with a wait of at most so long between them are placed as one block."""


class Touch:
    """What each task and batch of a problem touches."""

    def __init__(self, problem: Problem, nearly: int = NEARLY) -> None:
        n = len(problem.tasks)
        self.gaps: dict[tuple[int, int], tuple[int, int]] = {}
        self.links: list[list[Link]] = [[] for _ in range(n)]
        self.crews: list[list[tuple[int, Crew]]] = [[] for _ in range(n)]
        self.tends: list[list[tuple[int, Tend]]] = [[] for _ in range(n)]
        self.adds: list[list[tuple[int, Add]]] = [[] for _ in range(n)]
        self.uses: list[list[tuple[int, Use]]] = [[] for _ in range(n)]
        for link in problem.links:
            for t in {p.task for p in (link.before, link.after) if p.task >= 0}:
                self.links[t].append(link)
            if (
                link.before.end and not link.after.end and link.most is not None
                and 0 <= (link.least or 0) <= link.most <= nearly
            ):  # fmt: skip
                self.gaps[link.before.task, link.after.task] = (link.least or 0, link.most)
        for i, use in enumerate(problem.uses):
            for t in {p.task for p in (use.start, use.end) if p.task >= 0}:
                self.uses[t].append((i, use))
        for i, crew in enumerate(problem.crews):
            self.crews[crew.task].append((i, crew))
        for i, tend in enumerate(problem.tends):
            self.tends[tend.task].append((i, tend))
        for i, add in enumerate(problem.adds):
            self.adds[add.task].append((i, add))
        self.blocks: list[list[tuple[int, ...]]] = []
        for batch in problem.batches:
            blocks: list[list[int]] = [[t] for t in batch.tasks[:1]]
            for one, other in pairwise(batch.tasks):
                if (one, other) in self.gaps:
                    blocks[-1].append(other)
                else:
                    blocks.append([other])
            self.blocks.append([tuple(b) for b in blocks])

    def consumers(self, problem: Problem) -> list[set[int]]:
        """For each batch those that follow it."""
        found: list[set[int]] = [set() for _ in problem.batches]
        for link in problem.links:
            if link.before.task >= 0 and link.after.task >= 0 and (link.least or 0) >= 0:
                one, other = (problem.tasks[p.task].batch for p in (link.before, link.after))
                if one != other and link.least is not None:
                    found[one].add(other)
        return found


@dataclass(slots=True)
class Wanted:
    """How a batch is to be placed.

    Attributes
    ----------
    pick : callable
        People in order of preference: (person, start, end) -> key.
    aim : callable or None
        Where in its best band a block should end: (first, last tick of the
        band) -> tick; None: as late as possible, bands or no bands.
    banded : bool
        Only inside best bands.
    tries : int
        Places tried for each block before what comes after it is moved; 1: no going back.
    """

    pick: Callable[[int, int, int], tuple[float, ...]]
    aim: Callable[[int, int], int] | None = None
    banded: bool = False
    tries: int = 1


@dataclass(slots=True)
class _Block:
    """One block being placed."""

    tasks: tuple[int, ...]
    low: dict[tuple[int, bool], int]
    high: dict[tuple[int, bool], int]
    until: list[list[int]] = field(default_factory=list)
    starts: dict[tuple[int, bool], list[tuple[list[int], Point, int]]] = field(
        default_factory=dict
    )
    settles: int = 0
    nodes: int = 0
    spanning: int = 0
    dead: set[tuple[int, int]] = field(default_factory=set)
    """(task, end) before which nothing fits, whatever comes after."""


class PencilIn:
    """Places batches on a pencil plan."""

    def __init__(self, pencil: Pencil, touch: Touch) -> None:
        self.pencil, self.touch, self.problem = pencil, touch, pencil.problem
        self.asked = 0

    def place(self, b: int, wanted: Wanted) -> bool:
        """Place a batch, or leave everything as it was."""
        mark = self.pencil.mark()
        self.asked = 0
        bounds = self._bounds(b)
        blocks = self.touch.blocks[b]
        if self._back_from(blocks, len(blocks) - 1, bounds, wanted):
            return True
        self.pencil.back(mark)
        return False

    def _back_from(
        self, blocks: list[tuple[int, ...]], i: int, bounds: tuple[Bounds, Bounds],
        wanted: Wanted,
    ) -> bool:  # fmt: skip
        """Place block i and all before it; earlier and earlier if what is before does not fit."""
        if i < 0:
            return True
        tasks, before, aim = blocks[i], None, wanted.aim
        for n in range(wanted.tries):
            mark = self.pencil.mark()
            self.asked += 1
            block = self._block(tasks, bounds, before)
            if block is None or not any(
                self._descend(block, len(tasks) - 1, end, wanted)
                for end in self._ends(block, wanted.banded, aim)
            ):
                self.pencil.back(mark)
                return False
            if self._back_from(blocks, i - 1, bounds, wanted):
                return True
            end = self.pencil.times[tasks[-1]][1]
            self.pencil.back(mark)
            if self.asked > ASKED:
                return False
            # First at a good moment, then as late as can be, then earlier and earlier.
            before, aim = (None if n == 0 and aim is not None else end - (6 << n)), None
        return False

    # -- where it could be -------------------------------------------------------

    def _bounds(self, b: int) -> tuple[Bounds, Bounds]:
        """The earliest and the latest of every endpoint by what stands before it."""
        batch, low, high = self.problem.batches[b], {}, {}
        for t in batch.tasks:
            task = self.problem.tasks[t]
            least = max(task.earliest, 0 if batch.fixed else self.problem.now)
            most = task.latest - task.least
            for link in self.touch.links[t]:
                if link.after.task != t or link.after.end:
                    continue
                known = self.pencil.moment(link.before)
                key = (link.before.task, link.before.end)
                first, last = low.get(key, known), high.get(key, known)
                if first is not None and link.least is not None:
                    least = max(least, first + link.least)
                if last is not None and link.most is not None:
                    most = min(most, last + link.most)
            low[t, False], low[t, True] = least, least + task.least
            high[t, False], high[t, True] = most, min(task.latest, most + task.most)
        return low, high

    def _block(
        self, tasks: tuple[int, ...], bounds: tuple[Bounds, Bounds], before: int | None
    ) -> _Block | None:
        pencil, problem = self.pencil, self.problem
        ends = {(t, e): bounds[0][t, e] for t in tasks for e in (False, True)}
        high = {(t, e): bounds[1][t, e] for t in tasks for e in (False, True)}
        if before is not None:
            high[tasks[-1], True] = min(high[tasks[-1], True], before)
        for t in tasks:
            for link in self.touch.links[t]:
                for mine, other, out in (
                    (link.before, link.after, True), (link.after, link.before, False)
                ):  # fmt: skip
                    known = pencil.moment(other)
                    if mine.task != t or known is None:
                        continue
                    key = (t, mine.end)
                    if link.least is not None:
                        if out:
                            high[key] = min(high[key], known - link.least)
                        else:
                            ends[key] = max(ends[key], known + link.least)
                    if link.most is not None:
                        if out:
                            ends[key] = max(ends[key], known - link.most)
                        else:
                            high[key] = min(high[key], known + link.most)
        for t, after in zip(tasks[-2::-1], tasks[:0:-1], strict=True):
            high[after, False] = min(
                high[after, False], high[after, True] - problem.tasks[after].least
            )
            high[t, True] = min(high[t, True], high[after, False] - self.touch.gaps[t, after][0])
        if any(ends[key] > high[key] for key in ends if key[1]):
            return None
        block = _Block(tasks, ends, high)
        block.until = [self._task_until(t) for t in tasks]
        self._use_limits(block)
        return block

    def _task_until(self, t: int) -> list[int]:
        """For every tick the latest end of the task if it starts there, by hands and house."""
        task, horizon = self.problem.tasks[t], self.problem.horizon
        until: Ints | None = None
        if task.within is not None:
            out = [-1] * (horizon + 1)
            for a, b in task.within:
                out[a : b + 1] = [b] * (b + 1 - a)
            until = np.array(out, dtype=np.int64)
        for _, crew in self.touch.crews[t]:
            manned = self.pencil.manned_until(crew.lines)
            until = manned if until is None else np.minimum(until, manned)
        return [horizon] * (horizon + 1) if until is None else until.tolist()

    def _use_limits(self, block: _Block) -> None:
        """For uses that begin in the block: up to when their room lasts from each tick on."""
        inside = set(block.tasks)
        for t in block.tasks:
            for _, use in self.touch.uses[t]:
                if use.start.task != t:
                    continue
                if use.end.task not in inside and self.pencil.moment(use.end) is None:
                    continue
                best: Ints | None = None
                for option in self._options(use):
                    until = self.pencil.open_until(option, use.amount)
                    best = until if best is None else np.maximum(best, until)
                assert best is not None
                block.starts.setdefault((t, use.start.end), []).append(
                    (best.tolist(), use.end, use.grace)
                )

    def _options(self, use: Use) -> list[Option]:
        options = self.problem.choices[use.choice].options
        known = self.pencil.chosen.get(use.choice)
        return list(options) if known is None else [options[known]]

    def _ends(
        self, block: _Block, in_band: bool, aim: Callable[[int, int], int] | None
    ) -> Iterator[int]:
        """Ends of the block's last task in the order in which they are tried."""
        key = (block.tasks[-1], True)
        low, high = block.low[key], block.high[key]
        first, last, banded = low, high, False
        for link in self.touch.links[key[0]]:
            after = self.pencil.moment(link.after)
            if link.band is not None and link.before == Point(*key) and after is not None:
                banded = True
                last = min(last, after - -(-link.band.low // self.problem.grid))
                first = max(first, after - link.band.high // self.problem.grid)
        if (not in_band and aim is None) or not banded:
            yield from range(high, low - 1, -1)
            return
        last = max(last, low)
        first = max(low, min(first, last))
        best = last if aim is None else aim(first, last)
        yield from range(best, first - 1, -1)
        yield from range(best + 1, last + 1)
        if not in_band:
            yield from range(first - 1, low - 1, -1)
            yield from range(last + 1, high + 1)

    # -- step by step, backwards ---------------------------------------------------

    def _descend(self, block: _Block, i: int, end: int, wanted: Wanted) -> bool:
        """Place task i of the block to end at `end`, and all before it."""
        if (i, end) in block.dead:
            return False
        before = block.settles, block.spanning
        found = self._lengths(block, i, end, wanted)
        if not found and before == (block.settles, block.spanning):
            block.dead.add((i, end))
        return found

    def _lengths(self, block: _Block, i: int, end: int, wanted: Wanted) -> bool:
        t, times = block.tasks[i], self.pencil.times
        task = self.problem.tasks[t]
        if not block.low[t, True] <= end <= block.high[t, True]:
            return False
        until, low = block.until[i], max(0, block.low[t, False])
        for start in range(end - task.least, max(low, end - task.most) - 1, -1):
            if start > block.high[t, False]:
                continue
            if until[start] < end:
                return False
            times[t] = (start, end)
            if not self._uses_last(block, t):
                del times[t]
                return False
            if self._before(block, i, start, wanted):
                return True
            times.pop(t, None)
            block.nodes += 1
            if block.settles > SETTLES or block.nodes > NODES:
                return False
        return False

    def _before(self, block: _Block, i: int, start: int, wanted: Wanted) -> bool:
        """Task i starts at `start`: place what comes before it in the block."""
        if i == 0:
            return self._settle(block, wanted)
        least, most = self.touch.gaps[block.tasks[i - 1], block.tasks[i]]
        return any(
            self._descend(block, i - 1, end, wanted)
            for end in range(start - least, start - most - 1, -1)
        )

    def _uses_last(self, block: _Block, t: int) -> bool:
        for end_side in (False, True):
            for until, point, grace in block.starts.get((t, end_side), ()):
                start, end = self.pencil.times[t][end_side], self.pencil.moment(point)
                if end is not None and end - start > grace and until[max(0, start)] < end:
                    block.spanning += point.task != t and point.task in block.tasks
                    return False
        return True

    def _settle(self, block: _Block, wanted: Wanted) -> bool:
        """Everything of the block has a time: take machines, shelves and people."""
        block.settles += 1
        pencil = self.pencil
        # The times were set back to front while searching; `back` keeps the order of entry.
        times = [(t, pencil.times.pop(t)) for t in block.tasks]
        mark = pencil.mark()
        pencil.times.update(times)
        if self._links_hold(block) and self._take(block) and self._man(block, wanted):
            return True
        pencil.back(mark)
        pencil.times.update(reversed(times))
        return False

    def _links_hold(self, block: _Block) -> bool:
        for t in block.tasks:
            for link in self.touch.links[t]:
                a, b = self.pencil.moment(link.before), self.pencil.moment(link.after)
                if a is None or b is None:
                    continue
                if link.least is not None and b - a < link.least:
                    return False
                if link.most is not None and b - a > link.most:
                    return False
        return True

    def _take(self, block: _Block) -> bool:
        """Every use with one end in the block and the other known."""
        pencil, seen = self.pencil, set()
        for t in block.tasks:
            for n, use in self.touch.uses[t]:
                start, end = pencil.moment(use.start), pencil.moment(use.end)
                if n in seen or start is None or end is None:
                    continue
                seen.add(n)
                if end - start <= use.grace or end <= start:
                    pencil.chosen.setdefault(use.choice, 0)
                    continue
                options = self.problem.choices[use.choice].options
                known = pencil.chosen.get(use.choice)
                order: Iterable[int] = range(len(options)) if known is None else (known,)
                order = sorted(
                    order, key=lambda o: pencil.capacity[options[o].resource] < use.amount
                )
                for o in order:
                    if pencil.fits(options[o], use.amount, max(0, start), end):
                        pencil.chosen[use.choice] = o
                        pencil.stay(options[o], use.amount, max(0, start), end)
                        break
                else:
                    return False
        return True

    # -- hands -----------------------------------------------------------------------

    def _man(self, block: _Block, wanted: Wanted) -> bool:
        pencil = self.pencil
        for t in block.tasks:
            start, end = pencil.times[t]
            for n, crew in self.touch.crews[t]:
                people = self._people(crew.lines, start, end, wanted)
                if people is None:
                    return False
                pencil.work(people, start, end)
                pencil.hold(pencil.crews, n, people)
            busy: list[tuple[int, int]] = []
            for n, add in self.touch.adds[t]:
                window = range(start + add.least, min(start + add.most, end - add.length) + 1)
                mid = (start + add.least + start + add.most) // 2
                placed = self._first(
                    add, sorted(window, key=lambda v, m=mid: abs(v - m)), busy, wanted
                )
                if placed is None:
                    return False
                pencil.hold(pencil.adds, n, placed)
            for n, tend in self.touch.tends[t]:
                visits = self._tend(tend, start, end, busy, wanted)
                if visits is None:
                    return False
                pencil.hold(pencil.tends, n, visits)
        return True

    def _tend(
        self, tend: Tend, start: int, end: int, busy: list[tuple[int, int]], wanted: Wanted
    ) -> tuple[Placed, ...] | None:
        visits: list[Placed] = []
        if tend.gap is None:
            for a, b in tend.windows:
                if start <= a and b <= end:
                    placed = self._first(tend, range(a, b - tend.length + 1), busy, wanted)
                    if placed is None:
                        return None
                    visits.append(placed)
            return tuple(visits)
        least, most = tend.gap
        at = start - tend.since
        while at + most < end:
            window = range(max(start, at + least), min(at + most, end - tend.length) + 1)
            mid = at + (least + most + 1) // 2
            placed = self._first(
                tend, sorted(window, key=lambda v, m=mid: abs(v - m)), busy, wanted
            )
            if placed is None:
                return None
            visits.append(placed)
            at = placed.end
        return tuple(visits)

    def _first(
        self, item: Tend | Add, window: Iterable[int], busy: list[tuple[int, int]], wanted: Wanted
    ) -> Placed | None:
        """The first moment of a window at which a visit can be made."""
        window = list(window)
        if not window:
            return None
        until = self.pencil.manned_until(item.lines)
        for v in window:
            end = v + item.length
            if until[v] < end or any(a < end and v < b for a, b in busy):
                continue
            if any(
                bool((self.pencil.used[u.resource, v:end] + u.amount
                      > self.pencil.room(u.resource)).any())
                for u in item.uses
            ):  # fmt: skip
                continue
            people = self._people(item.lines, v, end, wanted)
            if people is not None:
                self.pencil.work(people, v, end)
                self.pencil.visit(item.uses, v, end)
                busy.append((v, end))
                return Placed(v, end, people)
        return None

    def _people(
        self, lines: tuple[Line, ...], start: int, end: int, wanted: Wanted
    ) -> tuple[int, ...] | None:
        """Distinct people for all lines, the preferred ones where they can."""
        pencil = self.pencil
        slots = [line for line in lines for _ in range(line.count)]
        ranked = [
            sorted(
                (p for p in line.people if pencil.free_until(p)[start] >= end),
                key=lambda p: wanted.pick(p, start, end),
            )
            for line in slots
        ]
        return seated(ranked)


def seated(ranked: list[list[int]]) -> tuple[int, ...] | None:
    """One of each list, all different, early ones preferred; None where that cannot be."""
    holder: dict[int, int] = {}

    def seat(i: int, seen: set[int]) -> bool:
        for p in ranked[i]:
            if p not in seen:
                seen.add(p)
                if p not in holder or seat(holder[p], seen):
                    holder[p] = i
                    return True
        return False

    for i in sorted(range(len(ranked)), key=lambda i: len(ranked[i])):
        if not seat(i, set()):
            return None
    found = {i: p for p, i in holder.items()}
    return tuple(found[i] for i in range(len(ranked)))


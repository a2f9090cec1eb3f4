"""One block of steps: between which ticks it can lie, and what it may run into."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from scheduler.workload.primitives import Option, Point, Use
from tests.bench.pencil import Ints, Pencil
from tests.bench.pencil_touch import Touch

Bounds = dict[tuple[int, bool], int]
"""A tick for the start or end of a task."""


@dataclass(slots=True)
class Block:
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


class Blocks:
    """Works out blocks on a pencil plan."""

    def __init__(self, pencil: Pencil, touch: Touch) -> None:
        self.pencil, self.touch, self.problem = pencil, touch, pencil.problem

    def bounds(self, b: int) -> tuple[Bounds, Bounds]:
        """The earliest and the latest of every endpoint by what stands before it."""
        batch = self.problem.batches[b]
        low: Bounds = {}
        high: Bounds = {}
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

    def block(
        self, tasks: tuple[int, ...], bounds: tuple[Bounds, Bounds], before: int | None
    ) -> Block | None:
        """The block of some tasks as things are; None where a window is empty.

        `before`: the last task ends by this tick.
        """
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
        block = Block(tasks, ends, high)
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
            manned = self.pencil.manned_until(crew.ways[0].lines)
            until = manned if until is None else np.minimum(until, manned)
        return [horizon] * (horizon + 1) if until is None else until.tolist()

    def _use_limits(self, block: Block) -> None:
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

    def ends(
        self, block: Block, in_band: bool, aim: Callable[[int, int], int] | None
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

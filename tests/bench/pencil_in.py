"""Pencilling in one batch: step after step from its last one, each where it first fits.

Nothing looks ahead beyond steps that follow each other at once (or nearly),
nothing is moved to make room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from tests.bench.pencil import Pencil
from tests.bench.pencil_block import Block, Blocks, Bounds
from tests.bench.pencil_hands import Hands, Pick
from tests.bench.pencil_touch import Touch

SETTLES = 400
"""So many moments of one block are tried to the end before it is given up …"""
NODES = 40_000
"""… and so many lengths and waits are looked at."""
ASKED = 120
"""Blocks are placed at most so often for one batch."""


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

    pick: Pick
    aim: Callable[[int, int], int] | None = None
    banded: bool = False
    tries: int = 1


class PencilIn:
    """Places batches on a pencil plan."""

    def __init__(self, pencil: Pencil, touch: Touch) -> None:
        self.pencil, self.touch, self.problem = pencil, touch, pencil.problem
        self.blocks, self.hands = Blocks(pencil, touch), Hands(pencil, touch)
        self.asked = 0

    def place(self, b: int, wanted: Wanted) -> bool:
        """Place a batch, or leave everything as it was."""
        mark = self.pencil.mark()
        self.asked = 0
        bounds = self.blocks.bounds(b)
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
            block = self.blocks.block(tasks, bounds, before)
            if block is None or not any(
                self._descend(block, len(tasks) - 1, end, wanted)
                for end in self.blocks.ends(block, wanted.banded, aim)
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

    # -- step by step, backwards ---------------------------------------------------

    def _descend(self, block: Block, i: int, end: int, wanted: Wanted) -> bool:
        """Place task i of the block to end at `end`, and all before it."""
        if (i, end) in block.dead:
            return False
        before = block.settles, block.spanning
        found = self._lengths(block, i, end, wanted)
        if not found and before == (block.settles, block.spanning):
            block.dead.add((i, end))
        return found

    def _lengths(self, block: Block, i: int, end: int, wanted: Wanted) -> bool:
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

    def _before(self, block: Block, i: int, start: int, wanted: Wanted) -> bool:
        """Task i starts at `start`: place what comes before it in the block."""
        if i == 0:
            return self._settle(block, wanted)
        least, most = self.touch.gaps[block.tasks[i - 1], block.tasks[i]]
        return any(
            self._descend(block, i - 1, end, wanted)
            for end in range(start - least, start - most - 1, -1)
        )

    def _uses_last(self, block: Block, t: int) -> bool:
        for end_side in (False, True):
            for until, point, grace in block.starts.get((t, end_side), ()):
                start, end = self.pencil.times[t][end_side], self.pencil.moment(point)
                if end is not None and end - start > grace and until[max(0, start)] < end:
                    block.spanning += point.task != t and point.task in block.tasks
                    return False
        return True

    def _settle(self, block: Block, wanted: Wanted) -> bool:
        """Everything of the block has a time: take machines, shelves and people."""
        block.settles += 1
        pencil = self.pencil
        # The times were set back to front while searching; `back` keeps the order of entry.
        times = [(t, pencil.times.pop(t)) for t in block.tasks]
        mark = pencil.mark()
        pencil.times.update(times)
        if (
            self._links_hold(block)
            and self._take(block)
            and self.hands.man(block.tasks, wanted.pick)
        ):
            return True
        pencil.back(mark)
        pencil.times.update(reversed(times))
        return False

    def _links_hold(self, block: Block) -> bool:
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

    def _take(self, block: Block) -> bool:
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

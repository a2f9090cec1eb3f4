"""How much of the horizon can matter to a batch, before anything is searched."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.primitives import Band

if TYPE_CHECKING:
    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain, Gap

LOOSE = Band(0, 0, 1)
"""Loads follow each other closely where nothing else decides."""


def longest(board: Board, gap: Gap, tight: int | None) -> int:
    """The longest wait a gap allows, ticks; `tight` where no link ties the two tasks together."""
    if gap.most is not None:
        return gap.most
    return tight if gap.loose and tight is not None else board.problem.horizon


def frame(board: Board, chain: Chain, tight: int | None) -> tuple[list[int], list[int]] | None:
    """Earliest and latest tick of every boundary by links to what is placed; None where empty.

    low[j + 1] >= low[j] + least, high[j] <= high[j + 1] - least, and the same
    with the longest the other way. So neither ever falls from one boundary to the next.
    """
    problem = board.problem
    fixed = problem.batches[chain.batch].fixed
    low = [0] * (2 * len(chain.tasks))
    high = [problem.horizon] * (2 * len(chain.tasks))
    least: list[int] = []
    most: list[int] = []
    for i, t in enumerate(chain.tasks):
        task = problem.tasks[t]
        low[2 * i] = max(task.earliest, 0 if fixed else problem.now)
        high[2 * i + 1] = min(task.latest, problem.horizon)
        least.append(task.least)
        most.append(task.most)
        if i < len(chain.gaps):
            least.append(chain.gaps[i].least)
            most.append(longest(board, chain.gaps[i], tight))
    if any(a > b for a, b in zip(least, most, strict=True)):
        return None
    for outer in chain.links:
        other = board.moment(outer.other)
        if other is None:
            continue
        link, j = problem.links[outer.index], outer.boundary
        if outer.outward:
            if link.least is not None:
                high[j] = min(high[j], other - link.least)
            if link.most is not None:
                low[j] = max(low[j], other - link.most)
        else:
            if link.least is not None:
                low[j] = max(low[j], other + link.least)
            if link.most is not None:
                high[j] = min(high[j], other + link.most)
    for forward in (True, False, True):
        for j in range(len(least)) if forward else range(len(least) - 1, -1, -1):
            if forward:
                low[j + 1] = max(low[j + 1], low[j] + least[j])
                high[j + 1] = min(high[j + 1], high[j] + most[j])
            else:
                high[j] = min(high[j], high[j + 1] - least[j])
                low[j] = max(low[j], low[j + 1] - most[j])
    if any(a > b for a, b in zip(low, high, strict=True)):
        return None
    return low, high

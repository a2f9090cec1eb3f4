"""Holds between a batch and what is placed: where they find room.

A hold between a boundary of the batch at t and a placed point takes a shelf
from one to the other; whether that fits depends on t alone.
"""

from __future__ import annotations

from itertools import pairwise, product
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.rooms import beside
from scheduler.workload.primitives import Option

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain, Outer

    Holds = list[tuple[Outer, int]]
    Wait = tuple[int, int, int, int]
    """The other end, amount, grace, use."""

FEW = 32
"""Combinations of stores tried for the holds of one boundary; beyond, all alike."""


def add_starts(
    board: Board, chain: Chain, low: Sequence[int], high: Sequence[int], outside: list[Ints]
) -> None:
    """Add what it costs each task to start at a tick: its own price, and at the margin of calm.

    And what it seems to cost where it was somewhere in an older plan.
    """
    tasks = board.problem.tasks
    for i, t in enumerate(chain.tasks if board.anchors is not None else ()):
        away = board.anchors.away(t, low[2 * i], high[2 * i]) if board.anchors else None
        if away is not None:
            outside[2 * i] += away
    for i in chain.dear:
        lo = low[2 * i]
        for dear in tasks[chain.tasks[i]].dear:
            outside[2 * i][max(0, dear.start - lo) : max(0, dear.end - lo)] += dear.price
    if board.calm is None:
        return
    for i, crews in chain.crews.items():
        for n in crews:
            least = tasks[chain.tasks[i]].least
            price = board.calm.begins(n, low[2 * i], high[2 * i], least)
            if price is not None:
                outside[2 * i] += price


def hold_options(board: Board, holds: Holds) -> list[tuple[int, ...]]:
    """Options for a group of holds: all combinations while they are few, else all alike."""
    problem = board.problem
    counts = [len(problem.choices[problem.uses[h.index].choice].options) for h, _ in holds]
    combos = 1
    for c in counts:
        combos *= c
    if combos <= FEW:
        return list(product(*(range(c) for c in counts)))
    return [tuple(min(k, c - 1) for c in counts) for k in range(max(counts))]


def hold_mask(
    board: Board, holds: Holds, options: tuple[int, ...], outward: bool, frame: tuple[int, int]
) -> Bools:
    """Points t of the frame [lo, hi] at which all the holds between t and their other ends fit."""
    problem = board.problem
    points = np.arange(frame[0], frame[1] + 1, dtype=np.int64)
    ok = np.ones(len(points), dtype=bool)
    groups: dict[tuple[int, int | None], list[Wait]] = {}
    for (hold, other), o in zip(holds, options, strict=True):
        use = problem.uses[hold.index]
        option = problem.choices[use.choice].options[o]
        stay = (other, use.amount, use.grace, hold.index)
        groups.setdefault((option.resource, option.state), []).append(stay)
    for (resource, state), stays in groups.items():
        option = Option(resource, state)
        if not any(grace for _, _, grace, _ in stays):
            ok &= _fits(board, option, stays, outward, points)
            continue
        # What is shorter than its grace takes nothing, so each stretch of t between two
        # such moments has its own set of holds that count.
        edges = [other - grace if outward else other + grace + 1 for other, _, grace, _ in stays]
        cuts = sorted({int(points[0]), *(e for e in edges if points[0] < e <= points[-1])})
        for a, b in pairwise([*cuts, int(points[-1]) + 1]):
            some = [
                stay
                for stay, edge in zip(stays, edges, strict=True)
                if (a < edge if outward else a >= edge)
            ]
            if some:
                here = slice(a - int(points[0]), b - int(points[0]))
                ok[here] &= _fits(board, option, some, outward, points[here])
    return ok


def _fits(
    board: Board, option: Option, stays: list[Wait], outward: bool, points: Ints
) -> Bools:
    """Points from which (up to which) all of the stays fit on one resource together."""
    if outward:
        lo, hi = int(points[0]), max(other for other, *_ in stays)
    else:
        lo, hi = min(other for other, *_ in stays), int(points[-1])
    lo, hi = max(0, lo), min(hi, board.problem.horizon)
    if hi <= lo:
        return np.ones(len(points), dtype=bool)
    need = np.zeros(hi - lo, dtype=np.int64)
    for other, amount, *_ in stays:
        if outward:
            need[: max(0, other - lo)] += amount
        else:
            need[max(0, other - lo) :] += amount
    capacity = board.problem.resources[option.resource].capacity
    blocked = need > capacity - board.used[option.resource, lo:hi]
    if option.state is not None:
        blocked |= board.full(option.resource, 0, option.state, lo, hi) & (need > 0)
    if option.resource in board.index.neighbours:
        for other, *_, n in stays:
            mine = slice(0, max(0, other - lo)) if outward else slice(max(0, other - lo), None)
            blocked[mine] |= beside(board, n, option.resource, lo, hi)[mine]
    if not bool(blocked.any()):
        return np.ones(len(points), dtype=bool)
    if outward:
        return np.asarray(points > lo + int(np.flatnonzero(blocked)[-1]))
    return np.asarray(points <= lo + int(np.flatnonzero(blocked)[0]))

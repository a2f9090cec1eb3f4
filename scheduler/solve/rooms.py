"""Doors and neighbours: what may not be put in or taken out, and what may not be side by side.

Both are a matter between two uses of one resource, so a stay on the board
either is in a new one's way or it is not.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.board import Board
    from scheduler.solve.sweep import Room
    from scheduler.workload.primitives import Problem, Use


def with_doors(problem: Problem) -> frozenset[int]:
    """Resources that a use may shut."""
    return _taken_by(problem, [u for u in problem.uses if u.shut])


def with_neighbours(problem: Problem) -> frozenset[int]:
    """Resources in which something may not be beside something else."""
    return _taken_by(problem, [u for u in problem.uses if u.not_beside])


def _taken_by(problem: Problem, uses: list[Use]) -> frozenset[int]:
    return frozenset(o.resource for u in uses for o in problem.choices[u.choice].options)


def in_the_way(board: Board, n: int, resource: int, start: int, end: int) -> Iterator[int]:
    """Uses on a resource that a use from start to end cannot be with: neighbours, and doors."""
    use = board.problem.uses[n]
    for m in board.by_resource[resource]:
        stay, other = board.stays[m], board.problem.uses[m]
        if stay.start >= end or stay.end <= start or m == n:
            continue
        opened = use.shut and (stay.start > start or stay.end < end)
        opens = other.shut and (start > stay.start or end < stay.end)
        if opened or opens or use.apart(other):
            yield m


def beside(board: Board, n: int, resource: int, lo: int, hi: int) -> Bools:
    """Ticks of [lo, hi) at which something is there that a use may not be beside."""
    blocked = np.zeros(max(0, hi - lo), dtype=bool)
    use = board.problem.uses[n]
    if not board.index.wary[n]:
        return blocked
    for m in board.by_resource[resource]:
        stay = board.stays[m]
        if use.apart(board.problem.uses[m]):
            blocked[max(0, stay.start - lo) : max(0, stay.end - lo)] = True
    return blocked


def shut_out(board: Board, resource: int, lo: int, hi: int) -> Bools:
    """Points of [lo, hi] that lie strictly inside a stay whose door is shut."""
    inside = np.zeros(hi - lo + 1, dtype=bool)
    for m in board.by_resource[resource]:
        stay = board.stays[m]
        if board.problem.uses[m].shut:
            inside[max(0, stay.start + 1 - lo) : max(0, stay.end - lo)] = True
    return inside


def changes(board: Board, resource: int) -> Ints:
    """Moments at which something goes in or out, in order."""
    stays = [board.stays[m] for m in board.by_resource[resource]]
    return np.array(sorted({t for s in stays for t in (s.start, s.end)}), dtype=np.int64)


def behind_doors(
    board: Board,
    n: int,
    resource: int,
    room: Room,
    begins: tuple[int, bool],
    ends: tuple[int, int, bool],
) -> None:
    """Narrow a way to be on a segment so that no door is opened that is shut.

    Parameters
    ----------
    begins : (int, bool)
        The first tick of the segment's start, and whether the use begins there.
    ends : (int, int, bool)
        The first and last tick of its end, and whether the use ends there.

    Notes
    -----
    A use that begins at t and ends at u: neither lies strictly inside a shut
    stay; if it is shut itself, no change lies strictly between, and none at a
    boundary inside it.
    """
    a, starts = begins
    count = len(room.last)
    if starts:
        barred = shut_out(board, resource, a, a + count - 1)
        if bool(barred.any()):
            room.last = np.where(barred, -1, room.last)
    if board.problem.uses[n].shut:
        at = changes(board, resource)
        if len(at):
            t = np.arange(a, a + count, dtype=np.int64)
            after = np.searchsorted(at, t, side="right")
            bounded = np.append(at, np.iinfo(np.int64).max)
            room.last = np.minimum(room.last, bounded[after])
            if not starts:
                room.last = np.where(np.isin(t, at), -1, room.last)
    lo, hi, stops = ends
    if stops:
        barred = shut_out(board, resource, lo, hi)
        if bool(barred.any()):
            toll = np.where(barred, INF, 0)
            room.entered = toll if room.entered is None else room.entered + toll

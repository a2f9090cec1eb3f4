"""Visits inside a task: when tending and adding can happen, exactly.

Sets of moments are Python integers used as bit sets (bit t is moment t), so
that a whole chain of visits is followed with a few shifts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.hands import crew_until
from scheduler.solve.leaving import Brief
from scheduler.workload import primitives

if TYPE_CHECKING:
    from scheduler.solve.arrays import Bools, Ints
    from scheduler.solve.board import Board
    from scheduler.workload.primitives import Add, Tend


def brief_visit(board: Board, visit: Tend | Add) -> Brief | None:
    """A visit as something a job may be left for."""
    if board.leavings is None:
        return None
    return Brief(visit.length, sum(line.count for line in visit.lines))


def possible_starts(board: Board, visit: Tend | Add, lo: int, hi: int) -> Bools:
    """Points of [lo, hi] at which the visit could start: hands and equipment free throughout."""
    until = crew_until(board, visit.lines, lo, hi, brief_visit(board, visit))
    t = np.arange(hi - lo + 1, dtype=np.int64)
    ok: Bools = until >= t + visit.length
    if not isinstance(visit, primitives.Add):
        ok[: max(0, visit.earliest - lo)] = False
    for use in visit.uses:
        full = board.full(use.resource, use.amount, None, lo, hi)
        blocked = np.concatenate(([0], np.cumsum(full)))
        end = np.minimum(t + visit.length, hi - lo)
        ok &= blocked[end] == blocked[t]
    return ok


def tend_reach(starts: Bools, tend: Tend, longest: int) -> Ints:
    """For every point s no later end than this can be tended (a bound from above).

    The latest chain of visits with gaps of at most gap[1], its lower bound
    left out, as far as the task's longest length.
    """
    n = len(starts)
    t = np.arange(n, dtype=np.int64)
    assert tend.gap is not None
    before = np.maximum.accumulate(np.where(starts, t, -1))
    most = tend.gap[1]
    at = t - tend.since
    reach = at + most
    while True:
        visit = before[np.clip(at + most, 0, n - 1)]
        visit = np.where((visit >= at) & (visit >= 0), visit, -1)
        later = np.where(visit >= 0, visit + tend.length, at)
        if bool((later <= at).all()):
            return reach
        at = np.maximum(at, later)
        reach = np.maximum(reach, at + most)
        if bool(((at >= n - 1) | (at >= t + longest)).all()):
            return reach


def window_reach(starts: Bools, tend: Tend, lo: int) -> Ints:
    """For every point s the last end for which no window inside [s, end] is without a visit."""
    n = len(starts)
    reach = np.full(n, 2 * n, dtype=np.int64)
    for a, b in tend.windows:
        first, last = a - lo, b - lo
        if first < 0 or last > n - 1:
            continue
        if not bool(starts[first : last - tend.length + 1].any()):
            reach[: first + 1] = np.minimum(reach[: first + 1], last - 1)
    return reach


def add_first(starts: Bools, add: Add) -> Ints:
    """For every point s the earliest end of the visit if the task starts at s; far off if none."""
    n = len(starts)
    t = np.arange(n, dtype=np.int64)
    after = np.where(starts, t, 4 * n)
    after = np.append(np.minimum.accumulate(after[::-1])[::-1], 4 * n)
    first = after[np.clip(t + add.least, 0, n)]
    return np.where(first <= t + add.most, first + add.length, 4 * n)


def _spread(bits: int, least: int, most: int) -> int:
    """Every moment least .. most after one of `bits`."""
    out, have, width = bits, 1, most - least + 1
    while have < width:
        step = min(have, width - have)
        out |= out << step
        have += step
    return out << least


def _bits(mask: Bools) -> int:
    return int.from_bytes(np.packbits(mask, bitorder="little").tobytes(), "little")


def tend_chain(
    starts: Bools, tend: Tend, start: int, end: int, closed: list[tuple[int, int]]
) -> list[int] | None:
    """Starts of visits that tend a task on [start, end] as asked, or None.

    `closed` are stretches in which the same task has other visits.
    """
    open_ = starts.copy()
    for a, b in closed:
        open_[max(0, a - tend.length + 1) : b] = False
    if tend.gap is None:
        return None  # windows are picked by the caller
    least, most = tend.gap
    can = _bits(open_) & ~((1 << max(0, start)) - 1)
    origin = start - tend.since
    shift = max(0, -origin)
    can <<= shift
    base, finish = origin + shift, end + shift
    layers = [1 << base]
    goal = ((1 << (finish + 1)) - 1) & ~((1 << max(0, finish - most)) - 1)
    inside = (1 << max(0, finish - tend.length + 1)) - 1
    seen = layers[0]
    while not layers[-1] & goal:
        nxt = (_spread(layers[-1], least, most) & can & inside) << tend.length
        nxt &= (1 << (finish + 1)) - 1
        if not nxt or len(layers) > 400:
            return None
        seen |= nxt
        layers.append(nxt)
    at = (layers[-1] & goal).bit_length() - 1
    visits: list[int] = []
    for depth in range(len(layers) - 1, 0, -1):
        visit = at - tend.length
        visits.append(visit - shift)
        back = layers[depth - 1] & ((1 << max(0, visit - least + 1)) - 1)
        back &= ~((1 << max(0, visit - most)) - 1)
        at = back.bit_length() - 1
    return visits[::-1]


def tend_ends(starts: Bools, tend: Tend, start: int) -> Bools:
    """Points at which a task that starts at `start` can end, tended as asked: all of them, exactly.

    Layer k of the search holds the ends of a k-th visit; from each the task
    may end within gap[1].
    """
    assert tend.gap is not None
    n = len(starts)
    least, most = tend.gap
    shift = max(0, tend.since - start)
    everything = (1 << (n + shift)) - 1
    can = (_bits(starts) & ~((1 << max(0, start)) - 1)) << shift
    layer = 1 << (start - tend.since + shift)
    ends = 0
    while layer:
        ends |= _spread(layer, 0, most)
        layer = ((_spread(layer, least, most) & can) << tend.length) & everything
    ends = (ends >> shift) & ((1 << n) - 1)
    raw = np.frombuffer(ends.to_bytes(-(-n // 8), "little"), dtype=np.uint8)
    return np.unpackbits(raw, count=n, bitorder="little").astype(bool)


def window_visits(
    starts: Bools, tend: Tend, lo: int, start: int, end: int, closed: list[tuple[int, int]]
) -> list[int] | None:
    """One visit in every window that lies wholly inside [start, end], or None."""
    visits: list[int] = []
    busy = sorted(closed)
    for a, b in tend.windows:
        first, last = a - lo, b - lo
        if first < start or last > end:
            continue
        for t in range(first, last - tend.length + 1):
            if starts[t] and not any(s < t + tend.length and e > t for s, e in busy):
                visits.append(t)
                busy.append((t, t + tend.length))
                break
        else:
            return None
    return visits

"""Vectors over the grid: next blocked tick, and minima over ranges.

A vector over *points* has one entry more than the vector over *ticks* it
comes from: tick i lies between points i and i + 1.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from scheduler.workload.primitives import Band

    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

INF = 1 << 50
"""Costs from here on mean "no place"."""


def _level(length: Ints) -> Ints:
    """The largest k with 2 ** k <= length."""
    return np.frexp(length.astype(np.float64))[1].astype(np.int64) - 1


LEVEL = _level(np.arange(1 << 13, dtype=np.int64))
"""Looked up for lengths up to four weeks of five minutes, as that is three times as fast."""


def next_blocked(blocked: Bools) -> Ints:
    """For every point the first blocked tick at or after it; the last point if there is none."""
    n = len(blocked)
    out = np.empty(n + 1, dtype=np.int64)
    out[n] = n
    out[:n] = np.where(blocked, np.arange(n), n)
    np.minimum.accumulate(out[::-1], out=out[::-1])
    return out


def range_minimum(values: Ints, first: Ints, last: Ints) -> Ints:
    """min(values[first[i] .. last[i]]) for every i; INF where the range is empty.

    A sparse table over the part of `values` that any range touches: levels of
    minima over powers of two, two look-ups a range.
    """
    first = np.maximum(first, 0)
    last = np.minimum(last, len(values) - 1)
    empty = last < first
    holes = bool(empty.any())
    if holes:
        if bool(empty.all()):
            return np.full(len(first), INF, dtype=np.int64)
        other = int(first[~empty].min())  # read for the empty ones and thrown away
        first, last = np.where(empty, other, first), np.where(empty, other, last)
    length = last - first + 1
    levels = int(length.max(initial=0)).bit_length()
    if levels <= 1:
        out = values[first]
    else:
        low, high = int(first.min()), int(last.max())
        n, width = high - low + 1, 1
        table = np.empty((levels, n), dtype=np.int64)  # level k is read up to n - 2 ** k only
        table[0] = values[low : high + 1]
        for k in range(1, levels):
            below = table[k - 1]
            np.minimum(below[: n - width], below[width:], out=table[k, : n - width])
            width *= 2
        level = LEVEL[length] if levels < len(LEVEL).bit_length() else _level(length)
        flat, row = table.reshape(-1), level * n - low
        out = np.minimum(flat[row + first], flat[row + last + 1 - (1 << level)])
    if holes:
        out[empty] = INF
    return out


def cheapest(values: Ints, t: Ints, first: Ints, last: Ints, band: Band | None, grid: int) -> Ints:
    """For every t[i]: min over u in [first[i], last[i]] of values[u] + band(grid * (u - t[i])).

    The band is convex and piecewise linear, so the minimum is the least of
    three range minima: below the band, in it and above it.
    """
    if band is None or band.weight == 0:
        return range_minimum(values, first, last)
    u = np.arange(len(values), dtype=np.int64)
    slope = band.weight * grid
    a = -(-band.low // grid)
    b = band.high // grid
    best = range_minimum(values, np.maximum(first, t + a), np.minimum(last, t + b))
    above_first = np.maximum(first, t + max(b + 1, a))
    if bool(np.any(above_first <= last)):
        above = range_minimum(values + slope * u, above_first, last)
        best = np.minimum(best, above - slope * t - band.weight * band.high)
    if a > 0:
        below_last = np.minimum(last, t + a - 1)
        if bool(np.any(below_last >= first)):
            below = range_minimum(values - slope * u, first, below_last)
            best = np.minimum(best, below + slope * t + band.weight * band.low)
    best[best >= INF // 2] = INF
    return best


def pick(
    values: Ints, t: int, first: int, last: int, band: Band | None, grid: int
) -> tuple[int, int]:
    """The u of `cheapest` for one t, and its cost; (-1, INF) where there is none."""
    first, last = max(first, 0), min(last, len(values) - 1)
    if last < first:
        return -1, INF
    costs = values[first : last + 1]
    if band is not None and band.weight:
        x = (np.arange(first, last + 1, dtype=np.int64) - t) * grid
        costs = costs + band.weight * (np.maximum(0, band.low - x) + np.maximum(0, x - band.high))
    i = int(costs.argmin())
    cost = int(costs[i])
    return (first + i, cost) if cost < INF // 2 else (-1, INF)

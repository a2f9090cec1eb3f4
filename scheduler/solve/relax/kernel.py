"""Messages along one arc: the least of a value and a convex cost of the distance."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF, range_minimum

if TYPE_CHECKING:
    from scheduler.solve.arrays import Ints


@dataclass(slots=True)
class Piece:
    """cost(d) = slope * d + base for d in first .. last."""

    first: int
    last: int
    slope: int
    base: int


def pieces(first: int, cost: Ints) -> list[Piece]:
    """A cost over the distances first, first + 1, … as linear pieces."""
    if len(cost) == 1:
        return [Piece(first, first, 0, int(cost[0]))]
    slopes = np.diff(cost)
    edges = [0, *(np.flatnonzero(np.diff(slopes)) + 1).tolist(), len(slopes)]
    out = []
    for a, b in pairwise(edges):
        slope = int(slopes[a])
        out.append(Piece(first + a, first + b, slope, int(cost[a]) - slope * (first + a)))
    return out


def sliding_minimum(values: Ints, width: int) -> Ints:
    """min(values[i : i + width]) for every i."""
    n = len(values)
    if width == 1:
        return values
    if width >= n:
        return np.full(1, values.min(), dtype=np.int64)
    if width <= 32:
        have, out = 1, values
        while have < width:
            step = min(have, width - have)
            out = np.minimum(out[: len(out) - step], out[step:])
            have += step
        return out
    # Minima from the left and from the right inside blocks of one width.
    blocks = -(-n // width)
    padded = np.full(blocks * width, INF, dtype=np.int64)
    padded[:n] = values
    square = padded.reshape(blocks, width)
    left = np.minimum.accumulate(square, axis=1).ravel()
    right = np.minimum.accumulate(square[:, ::-1], axis=1)[:, ::-1].ravel()
    return np.minimum(right[: n - width + 1], left[width - 1 : n])


def message(
    values: Ints,
    child: int,
    parent: int,
    count: int,
    parts: list[Piece],
    limits: tuple[Ints, Ints] | None,
) -> Ints:
    """For t = parent .. parent + count - 1: min over u of values[u - child] + cost(u - t).

    Parameters
    ----------
    child, parent : int
        First moments of either.
    limits : (array, array) or None
        For every t the least and the greatest u allowed besides.
    """
    best = np.full(count, INF, dtype=np.int64)
    n, shift = len(values), parent - child
    k = np.arange(shift, shift + count, dtype=np.int64)
    for part in parts:
        tilted = values + part.slope * np.arange(n, dtype=np.int64) if part.slope else values
        if limits is None:
            start, stop = shift + part.first, shift + count - 1 + part.last + 1
            if stop <= 0 or start >= n:
                continue
            if start >= 0 and stop <= n:
                window = tilted[start:stop]
            else:
                window = np.full(stop - start, INF, dtype=np.int64)
                a, b = max(start, 0), min(stop, n)
                window[a - start : b - start] = tilted[a:b]
            found = sliding_minimum(window, part.last - part.first + 1)
        else:
            first = np.maximum(k + part.first, limits[0] - child)
            last = np.minimum(k + part.last, limits[1] - child)
            found = range_minimum(tilted, first, last)
        if part.slope:
            found = found - part.slope * k
        if part.base:
            found = found + part.base
        np.minimum(best, found, out=best)
    best[best >= INF // 2] = INF
    return best

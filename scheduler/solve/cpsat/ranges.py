"""Sets of ticks as sorted, disjoint, closed ranges, and stretches of time as half-open ones."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

Ranges = tuple[tuple[int, int], ...]
"""Sorted, disjoint. Closed where it says *values*, half-open where it says *stretches*."""


def merged(stretches: Iterable[tuple[int, int]]) -> Ranges:
    """Sorted, with those that touch or overlap made one; empty ones dropped."""
    out: list[tuple[int, int]] = []
    for a, b in sorted(stretches):
        if a >= b:
            continue
        if out and a <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], b))
        else:
            out.append((a, b))
    return tuple(out)


def without(stretches: Iterable[tuple[int, int]], holes: Iterable[tuple[int, int]]) -> Ranges:
    """The stretches less the holes."""
    cut = merged(holes)
    out: list[tuple[int, int]] = []
    for a, b in merged(stretches):
        for c, d in cut:
            if d <= a:
                continue
            if c >= b:
                break
            if c > a:
                out.append((a, c))
            a = d
            if a >= b:
                break
        if a < b:
            out.append((a, b))
    return tuple(out)


def starts(stretches: Ranges, least: int) -> Ranges:
    """Values at which something of that length can start: [a, b - least] each."""
    return tuple((a, b - least) for a, b in stretches if b - a >= least)


def ends(stretches: Ranges, least: int) -> Ranges:
    """Values at which something of that length can end: [a + least, b] each."""
    return tuple((a + least, b) for a, b in stretches if b - a >= least)


def union(values: Iterable[tuple[int, int]]) -> Ranges:
    """Union of closed ranges (neighbouring integers join)."""
    out: list[tuple[int, int]] = []
    for a, b in sorted(values):
        if a > b:
            continue
        if out and a <= out[-1][1] + 1:
            out[-1] = (out[-1][0], max(out[-1][1], b))
        else:
            out.append((a, b))
    return tuple(out)


def meet(one: Sequence[tuple[int, int]], two: Sequence[tuple[int, int]]) -> Ranges:
    """Intersection of closed ranges."""
    out: list[tuple[int, int]] = []
    i = j = 0
    while i < len(one) and j < len(two):
        a, b = max(one[i][0], two[j][0]), min(one[i][1], two[j][1])
        if a <= b:
            out.append((a, b))
        if one[i][1] < two[j][1]:
            i += 1
        else:
            j += 1
    return tuple(out)


def shifted(values: Ranges, by: int) -> Ranges:
    """Every range moved."""
    return tuple((a + by, b + by) for a, b in values)


def at_or_after(values: Ranges, x: int) -> int | None:
    """The least value that is not below x."""
    return next((max(a, x) for a, b in values if b >= x), None)


def at_or_before(values: Ranges, x: int) -> int | None:
    """The greatest value that is not above x."""
    return next((min(b, x) for a, b in reversed(values) if a <= x), None)

"""Disjoint stretches of time in order, half-open."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence

Stretch = tuple[int, int]


def merged(stretches: Iterable[Stretch]) -> list[Stretch]:
    """Their union; stretches that touch become one."""
    union: list[Stretch] = []
    for start, end in sorted(s for s in stretches if s[0] < s[1]):
        if union and start <= union[-1][1]:
            union[-1] = (union[-1][0], max(end, union[-1][1]))
        else:
            union.append((start, end))
    return union


def without(stretches: Sequence[Stretch], holes: Sequence[Stretch]) -> list[Stretch]:
    """What is left of disjoint `stretches` outside disjoint `holes`."""
    left: list[Stretch] = []
    for start, end in stretches:
        at = start
        for a, b in holes:
            if b <= at or a >= end:
                continue
            if a > at:
                left.append((at, a))
            at = b
        if at < end:
            left.append((at, end))
    return left


def common(one: Sequence[Stretch], other: Sequence[Stretch]) -> list[Stretch]:
    """What lies in both."""
    both = []
    i = j = 0
    while i < len(one) and j < len(other):
        start, end = max(one[i][0], other[j][0]), min(one[i][1], other[j][1])
        if start < end:
            both.append((start, end))
        if one[i][1] < other[j][1]:
            i += 1
        else:
            j += 1
    return both


def inside(stretches: Sequence[Stretch], start: int, end: int) -> bool:
    """Does [start, end) lie in one of them?"""
    place = bisect_right(stretches, (start, 1 << 62)) - 1
    return place >= 0 and stretches[place][0] <= start and end <= stretches[place][1]


def outside(stretches: Sequence[Stretch], start: int, end: int) -> Stretch | None:
    """The first part of [start, end) that lies in none of them."""
    left = without([(start, end)], stretches)
    return left[0] if left else None

"""Of places that cost the same the one whose hands are missed least elsewhere.

A job that a trainee can do more slowly, or two in half the time, costs the
same either way where it lies; what it takes from everything else differs.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import INF
from scheduler.solve.hands import dearness

if TYPE_CHECKING:
    from scheduler.solve.arrays import Ints
    from scheduler.solve.index import Index
    from scheduler.solve.manned import Manned
    from scheduler.solve.sweep import Segment


def spare_hands(
    index: Index, segments: list[Segment], outside: list[Ints], manned: dict[int, list[Manned]]
) -> int:
    """Make dearer hands cost a little, less in all than the smallest difference of any cost.

    All costs times a scale, plus the rank of the hands of every task that has
    a choice: ranks add up to less than the scale.

    Returns
    -------
    int
        The scale; 1 where there is no choice.
    """
    ranks = {j: rank for j, ways in manned.items() if max(rank := _ranks(index, ways), default=0)}
    scale = 1 + sum(max(rank) for rank in ranks.values())
    if scale == 1:
        return 1
    for n, cost in enumerate(outside):
        outside[n] = np.where(cost >= INF // 2, INF, cost * scale)
    for j, segment in enumerate(segments):
        if segment.band is not None:
            segment.band = replace(segment.band, weight=segment.band.weight * scale)
        if segment.prices is not None:
            segment.prices = {combo: price * scale for combo, price in segment.prices.items()}
        rank = ranks.get(j, [0])
        for rooms in {id(rooms): rooms for rooms in segment.rooms.values()}.values():
            for n, room in enumerate(rooms):
                room.price = room.price * scale + rank[n % len(rank)]
                if room.left is not None:
                    room.left = room.left * scale
                    if room.entered is not None:
                        room.entered = room.entered * scale
    return scale


def _ranks(index: Index, manned: list[Manned]) -> list[int]:
    """For each way to man a task how many are less dear."""
    dear = [sum(dearness(index, way) for way in one.ways) for one in manned]
    order = sorted(set(dear))
    return [order.index(x) for x in dear]

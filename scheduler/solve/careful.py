"""A way to be on a segment, narrowed by neighbours, by doors, and by who could clean."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from scheduler.solve.arrays import next_blocked
from scheduler.solve.cleaning import between_contents, cleaning_price
from scheduler.solve.rooms import behind_doors, beside

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from scheduler.solve.board import Board
    from scheduler.solve.index import Chain
    from scheduler.solve.sweep import Room
    from scheduler.workload.primitives import Option


def narrowed(
    board: Board,
    chain: Chain,
    room: Room,
    options: Mapping[int, Option],
    frame: tuple[Sequence[int], Sequence[int]],
    segment: int,
) -> None:
    """Narrow a room in place.

    Parameters
    ----------
    options : mapping of int to Option
        The uses that are active on the segment, each with the option it takes.
    frame : (sequence of int, sequence of int)
        First and last tick of each boundary.
    """
    index = board.index
    (low, high), spans = frame, {s.use: s for s in chain.spans}
    lo, hi = low[segment], high[segment + 1]
    for n, option in options.items():
        resource = option.resource
        ends = low[segment + 1], hi, spans[n].last == segment + 1
        if resource in index.neighbours:
            blocked = beside(board, n, resource, lo, hi)
            room.last = np.minimum(room.last, lo + next_blocked(blocked)[: len(room.last)])
        if resource in index.doors:
            behind_doors(board, n, resource, room, (lo, spans[n].first == segment), ends)
        if resource in index.cleaned:
            if spans[n].first == segment:
                saved = -cleaning_price(board, option, lo, len(room.last))
                room.left = saved if room.left is None else room.left + saved
            blocked = between_contents(board, option, room, lo, ends)
            room.last = np.minimum(room.last, lo + next_blocked(blocked)[: len(room.last)])

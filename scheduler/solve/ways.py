"""Putting a batch on the board: the ways in which its loads can lie."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from scheduler.solve.arrays import INF
from scheduler.solve.insertion import Insertion

if TYPE_CHECKING:
    from scheduler.solve.board import Board, Placement

Taboo = Sequence[tuple[int, int]]
"""Stretches in which a batch shall not start."""


def insert(board: Board, batch: int, taboo: Taboo = ()) -> bool:
    """Put a batch in its cheapest place.

    A batch in loads is tried with its loads one after the other, pressed
    together, and side by side: the chain through the last loads first, the
    earlier loads around it. The best of what fits is taken.
    """
    chain = board.index.chains[batch]
    if not board.problem.batches[batch].lanes:
        return _put(board, Insertion(board, chain, None, taboo))
    best: Placement | None = None
    least = INF
    for way in WAYS:
        if way(board, batch, taboo):
            cost = board.touching(batch)
            placement = board.remove(batch)
            if cost < least:
                best, least = placement, cost
    return best is not None and board.place(best)


def _put(board: Board, search: Insertion) -> bool:
    placement = search.placement()
    return placement is not None and board.place(placement, search.chain)


def _one_by_one(board: Board, batch: int, taboo: Taboo) -> bool:
    return _put(board, Insertion(board, board.index.chains[batch], None, taboo))


def _pressed(board: Board, batch: int, taboo: Taboo) -> bool:
    return _put(board, Insertion(board, board.index.chains[batch], 0, taboo))


def _around(board: Board, batch: int, main: Insertion) -> bool:
    """The chain through the last loads, then the other loads in the room that it leaves them."""
    if not _put(board, main):
        return False
    for side in board.index.split[batch][1]:
        if not _put(board, Insertion(board, side)):
            if batch in board.placed:
                board.remove(batch)
            return False
    return True


def _side_by_side(board: Board, batch: int, taboo: Taboo) -> bool:
    return _around(board, batch, Insertion(board, board.index.split[batch][0], None, taboo))


def _abreast(board: Board, batch: int, taboo: Taboo) -> bool:
    main = board.index.split[batch][0]
    return _around(board, batch, Insertion(board, main, None, taboo, abreast=True))


def _staggered(board: Board, batch: int, taboo: Taboo) -> bool:
    main = board.index.split[batch][0]
    return _around(board, batch, Insertion(board, main, None, taboo, stagger=True))


WAYS = (_one_by_one, _pressed, _side_by_side, _abreast, _staggered)
"""How loads can lie; the cheapest that fits is taken."""

"""Putting a batch on the board: the ways in which its loads can lie."""

from __future__ import annotations

from heapq import heappop, heappush
from typing import TYPE_CHECKING

from scheduler.solve.arrays import INF
from scheduler.solve.insertion import Insertion, Taboo

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.solve.board import Board, Placement
    from scheduler.solve.index import Chain

    Way = Callable[[Board, int, Taboo], bool]

TRIES = 6
"""So many ways of giving options up before a chain has no place."""


def insert(board: Board, batch: int, taboo: Taboo = ()) -> bool:
    """Put a batch in its cheapest place.

    Without overtime if it can be; where that is allowed as a last resort, with
    as little for everybody as it takes: a quarter of the longest, half, all;
    and only then with rest that may be eaten, likewise.
    """
    if _insert(board, batch, taboo):
        return True
    overtime = board.overtime
    if overtime is None or overtime.open or not board.last_resort:
        return False
    done = False
    for reach, rest in overtime.openings():
        overtime.extend(reach, rest)
        done = _insert(board, batch, taboo)
        if done:
            break
    overtime.close()
    return done


def _insert(board: Board, batch: int, taboo: Taboo) -> bool:
    """The cheapest place among the ways in which loads can lie.

    A batch in loads is tried with its loads one after the other, pressed
    together, and side by side: the chain through the last loads first, the
    earlier loads around it. Loads that take turns with washing up are tried
    in that order as well. The best of what fits is taken; one that costs
    nothing ends the search.
    """
    chain = board.index.chains[batch]
    if not board.problem.batches[batch].lanes:
        return _put(board, chain, None, taboo)
    best: Placement | None = None
    least = INF
    for way in (*WAYS, *_turns(board, batch)):
        if way(board, batch, taboo):
            cost = board.touching(batch)
            if board.anchors is not None:
                cost += board.anchors.cost(board.times, board.problem.batches[batch].tasks)
            if not cost:  # nothing can be cheaper, no price is below nothing
                return True
            placement = board.remove(batch)
            if cost < least:
                best, least = placement, cost
    return best is not None and board.place(best)


def _put(
    board: Board,
    chain: Chain,
    tight: int | None = None,
    taboo: Taboo = (),
    abreast: bool = False,
    stagger: bool = False,
) -> bool:
    """The best place; again without an oven where the chain stands in its own way there.

    Two steps of one chain in one oven at two settings need time between them, which the
    search for a place does not see. What is given up is the last option; where options have
    prices every one is tried, the cheapest place first.
    """
    ahead: list[tuple[int, int, frozenset[tuple[int, int]], Placement, Insertion]] = []

    def look(banned: frozenset[tuple[int, int]]) -> None:
        search = Insertion(board, chain, tight, taboo, abreast, stagger, banned)
        placement = search.placement()
        if placement is not None:
            heappush(ahead, (search.cost, len(seen), banned, placement, search))
        seen.add(banned)

    seen: set[frozenset[tuple[int, int]]] = set()
    look(frozenset())
    while ahead:
        _, _, banned, placement, search = heappop(ahead)
        if board.place(placement, chain):
            return True
        stated = [
            (c, o)
            for c, o in placement.chosen.items()
            if len(search.allowed(c)) > 1 and _has_state(board, c)
        ]
        for option in stated if chain.priced else [max(stated)] if stated else ():
            if banned | {option} not in seen and len(seen) < TRIES:
                look(banned | {option})
    return False


def _has_state(board: Board, choice: int) -> bool:
    options = board.problem.choices[choice].options
    return any(option.state is not None for option in options)


def _one_by_one(board: Board, batch: int, taboo: Taboo) -> bool:
    return _put(board, board.index.chains[batch], None, taboo)


def _pressed(board: Board, batch: int, taboo: Taboo) -> bool:
    return _put(board, board.index.chains[batch], 0, taboo)


def _around(
    board: Board, batch: int, taboo: Taboo, abreast: bool = False, stagger: bool = False
) -> bool:
    """The chain through the last loads, then the other loads in the room that it leaves them."""
    main, sides = board.index.split[batch]
    return _put(board, main, None, taboo, abreast, stagger) and _beside(board, batch, sides)


def _beside(board: Board, batch: int, sides: list[Chain]) -> bool:
    """Chains in the room that the rest of their batch leaves them; the batch is off if not."""
    for side in sides:
        if not _put(board, side):
            if batch in board.placed:
                board.remove(batch)
            return False
    return True


def _turns(board: Board, batch: int) -> list[Way]:
    """A way for each order in which the loads take turns with the washing of what they stand in."""
    if not board.problem.batches[batch].turns:
        return []

    def way(main: Chain, sides: list[Chain]) -> Way:
        return lambda board, batch, taboo: (
            _put(board, main, None, taboo) and _beside(board, batch, sides)
        )

    return [way(*turn) for turn in board.index.turns[batch]]


def _abreast(board: Board, batch: int, taboo: Taboo) -> bool:
    return _around(board, batch, taboo, abreast=True)


def _staggered(board: Board, batch: int, taboo: Taboo) -> bool:
    return _around(board, batch, taboo, stagger=True)


WAYS = (_one_by_one, _pressed, _around, _abreast, _staggered)
"""How loads can lie; the cheapest that fits is taken, of equal ones the first."""

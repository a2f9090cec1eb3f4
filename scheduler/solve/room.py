"""From a first plan in which something lacks a place to the best that making room brings.

Making room comes before overtime: first everybody is asked to make way inside
the shifts, then what still has no place may lie in overtime, and only what is
left then makes others move there as well. The bands decide.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.board import Board
from scheduler.solve.construct import adopt, drop_hopeless, stretch, unplaced
from scheduler.solve.objective import terms
from scheduler.solve.repair import Repair

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from scheduler.solve.budget import Budget
    from scheduler.workload.primitives import Solution

REPAIRS = 2000
"""Ejections at most while something has no place …"""
UNTIL = 0.4
"""… and at most so much of the time …"""
SHUT = 0.5
"""Of what is left of it so much without overtime, where there can be any."""


def make_room(
    board: Board,
    rng: Random,
    budget: Budget,
    until: float,
    heard: Callable[[Solution], None],
    due: Callable[[], bool] = lambda: False,
    beaten: Callable[[], bool] = lambda: False,
) -> None:
    """Leave the best of what is tried on the board.

    Parameters
    ----------
    until : float
        The part of the budget at which it ends.
    heard : callable
        Told every solution that is the best so far.
    due : callable
        Whether what is on the way shall be looked at as well.
    beaten : callable
        Whether somebody else has everything in its place; then this ends.
    """
    problem = board.problem
    best = board.solution()

    def better(found: Solution) -> None:
        nonlocal best
        if terms(problem, found) < terms(problem, best):
            best = found
            heard(found)

    def keep() -> None:
        drop_hopeless(board)
        better(board.solution())

    ways = [(False, until)]
    if problem.extras:
        first = best
        stretch(board)
        keep()
        adopt(board, first)
        used = budget.used()
        ways = [(False, used + SHUT * (until - used)), (True, until)]
    for extended, part in ways:
        for _ in Repair(board, rng, extended).run(REPAIRS, _either(budget.until(part), beaten)):
            if due():
                better(_cleared(board))
        if problem.extras:
            stretch(board)
        keep()
        if not unplaced(board) or beaten():
            break
    adopt(board, best)


def _either(one: Callable[[], bool], other: Callable[[], bool]) -> Callable[[], bool]:
    return lambda: one() or other()


def _cleared(board: Board) -> Solution:
    """What is on a board, without what lacks something or is for nobody."""
    fuller = Board(board.index)
    adopt(fuller, board.solution())
    drop_hopeless(fuller)
    return fuller.solution()

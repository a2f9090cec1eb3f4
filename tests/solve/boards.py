"""Full boards for tests: constructed, repaired, and with every fixed batch in its place."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from scheduler.solve.construct import construct, drop_hopeless
from scheduler.solve.index import Index
from scheduler.solve.repair import Repair

if TYPE_CHECKING:
    from scheduler.solve.board import Board
    from scheduler.workload.primitives import Problem


def full_board(problem: Problem) -> Board | None:
    """None where a standing duty cannot be manned."""
    rng = Random(1)
    board = construct(Index(problem), rng)
    for _ in Repair(board, rng).run(20, lambda: False):
        pass
    drop_hopeless(board)
    fixed = {b for b, batch in enumerate(problem.batches) if batch.fixed}
    return board if fixed <= board.placed else None

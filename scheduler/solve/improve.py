"""Ruin and recreate: take some batches off, put them back better.

A move is accepted by bands: nothing that is served may be lost, and only the
last band, quality, may get worse by a threshold that shrinks; the best board
is kept apart.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.construct import drop_hopeless, in_order, latest_starts, unplaced
from scheduler.solve.ways import insert

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from random import Random

    from scheduler.solve.board import Board
    from scheduler.solve.objective import Score
    from scheduler.workload.primitives import Solution

START = 0.01
"""The first threshold, as a part of the first quality."""


class Improve:
    """Moves on one board.

    Parameters
    ----------
    board : Board
        Changed in place.
    rng : random.Random
    """

    def __init__(self, board: Board, rng: Random) -> None:
        self.board = board
        self.rng = rng
        self.late = latest_starts(board.index)
        self.movable = [b for b, batch in enumerate(board.problem.batches) if not batch.fixed]
        self.score = board.score()
        self.most = 8

    def run(
        self, progress: Callable[[], float], stop: Callable[[], bool]
    ) -> Iterator[tuple[Score, Solution]]:
        """Yield every new best until stopped.

        Parameters
        ----------
        progress : callable
            The part of the time (or of the moves) that is used up, 0 to 1.
        """
        best = self.score
        if not self.movable:
            return
        scale = START * max(1, best.quality)
        while not stop():
            threshold = int(scale * max(0.0, 1.0 - progress()) ** 2)
            if self.move(threshold) and self.score < best:
                best = self.score
                yield best, self.board.solution()

    def move(self, threshold: int) -> bool:
        """One ruin and recreate; True if it was kept."""
        board = self.board
        out = self.ruin()
        olds = {b: board.remove(b) for b in out if b in board.placed}
        tried: set[int] = set(olds)
        jitter = {b: self.rng.random() for b in self.movable}
        for _ in range(2):
            queue = [b for b in unplaced(board) if b not in tried or b in olds]
            for b in in_order(board.index, queue, lambda b: self.late[b] * (0.7 + jitter[b])):
                if not any(
                    i not in board.placed and not board.problem.batches[i].fixed
                    for i in board.index.consumers[b]
                ):
                    insert(board, b)
        for old in drop_hopeless(board):
            if old.batch in self._before:
                olds.setdefault(old.batch, old)
        new = board.score()
        if (new.served, 0) < (self.score.served, 0) or (
            new.served == self.score.served and new.quality <= self.score.quality + threshold
        ):
            self.score = new
            return True
        for b in [b for b in board.placed if b in olds or b not in self._before]:
            if not board.problem.batches[b].fixed:
                board.remove(b)
        for old in olds.values():
            board.place(old)
        return False

    def ruin(self) -> list[int]:
        """Which batches to take off: a few that have to do with each other."""
        board, rng = self.board, self.rng
        self._before = frozenset(board.placed)
        size = rng.randint(2, max(2, min(self.most, len(self.movable))))
        placed = [b for b in self.movable if b in board.placed]
        if not placed:
            return []
        seed = rng.choice(placed)
        kind = rng.random()
        if kind < 0.35:
            near = self._family(seed)
        elif kind < 0.7:
            at = self._middle(seed)
            near = sorted(placed, key=lambda b: (abs(self._middle(b) - at), b))
        else:
            at = self._middle(seed)
            mine = board.index.rivals[seed]
            near = sorted(
                (b for b in placed if b in mine or b == seed),
                key=lambda b: (abs(self._middle(b) - at) * (0.5 + rng.random()), b),
            )
        return list(dict.fromkeys([seed, *near]))[:size]

    def _middle(self, b: int) -> int:
        tasks = self.board.index.chains[b].tasks
        return (self.board.times[tasks[0]][0] + self.board.times[tasks[-1]][1]) // 2

    def _family(self, seed: int) -> list[int]:
        """Placed batches that links tie together, nearest first."""
        board = self.board
        out, edge = [seed], [seed]
        while edge and len(out) < 2 * self.most:
            edge = [
                n
                for b in edge
                for n in sorted(board.index.chains[b].neighbours)
                if n in board.placed and n not in out and not board.problem.batches[n].fixed
            ]
            out.extend(dict.fromkeys(edge))
        return out

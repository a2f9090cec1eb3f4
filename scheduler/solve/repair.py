"""Making room for what has no place.

What finds no place goes where it is cheapest to clear, by counts of how often
each batch has been hard to place; what had to make way is put back, hardest
first. Nothing is placed late: what still finds no place is left out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.board import Board
from scheduler.solve.construct import in_order, paid, restore, shortfall, unplaced
from scheduler.solve.ejection import Ejection, make_way
from scheduler.solve.frame import frame
from scheduler.solve.neighbourhoods import machine
from scheduler.solve.prices import Prices
from scheduler.solve.ways import insert

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from random import Random

    from scheduler.solve.insertion import Taboo


HARD = 3
"""Failures after which what takes from a batch may move to another time as well …"""
REACHES = (1, 6, 24, 96)
"""… so many ticks away at least."""
WHIM = 30_000
"""What the time of a free person may seem to cost then."""
PATIENCE = 60
"""Ejections without a fuller board before going back to the fullest, and shaking that: …"""
SHAKEN = (20, 40, 80)
"""… so many batches taken off."""


class Repair:
    """Ejection with failure counts.

    Parameters
    ----------
    board : Board
    rng : random.Random
    extended : bool
        With everybody's overtime.
    """

    def __init__(self, board: Board, rng: Random, extended: bool = False) -> None:
        self.board = board
        self.rng = rng
        self.fails = [0] * len(board.problem.batches)
        self.alone: dict[int, bool] = {}
        self.extended = extended
        self.ghost = Board(board.index)
        self.ghost.anchors = board.anchors
        self._open(self.ghost)
        for b in sorted(board.index.pinned):
            if b in board.placed:
                self.ghost.place(board.recorded(b))

    def run(self, budget: int, stop: Callable[[], bool]) -> Iterator[tuple[int, ...]]:
        """At most `budget` ejections; yields each smaller shortfall, leaves the fullest board."""
        board = self.board
        board.last_resort = False
        self._open(board)
        best = {b: board.recorded(b) for b in board.placed}
        least, waited = shortfall(board), 0
        for _ in range(budget):
            queue = [b for b in unplaced(board) if self.fits_alone(b)]
            if not queue or stop():
                break
            queue = in_order(board.index, queue, lambda b: self.fails[b])
            b = queue[0] if self.rng.random() < 0.7 else self.rng.choice(queue)
            free = all(c in board.placed for c in board.index.consumers[b])
            if not (free and insert(board, b)):
                self.fails[b] += 1
                self._make_room(b)
            paid(board)
            for r in in_order(board.index, unplaced(board), lambda r: -self.fails[r]):
                insert(board, r)
            paid(board)
            short = shortfall(board)
            waited += 1
            if short < least:
                least, waited = short, 0
                best = {r: board.recorded(r) for r in board.placed}
                yield least
            elif waited % PATIENCE == 0:
                restore(board, best)
                self._shake(b)
                paid(board)
        if shortfall(board) > least:
            restore(board, best)
        if board.overtime is not None:
            board.overtime.close()

    def _open(self, board: Board) -> None:
        if board.overtime is not None:
            longest = board.overtime.longest
            board.overtime.extend(*(longest if self.extended else (0, 0)))

    def fits_alone(self, b: int) -> bool:
        """Does it find a place with nothing there but what is fixed and what takes from it?

        Asking others to make way for what fails even then would be work for nothing.
        """
        if b not in self.alone:
            index, ghost = self.board.index, self.ghost
            family, edge = [b], [b]
            while edge:
                edge = [c for x in edge for c in index.consumers[x] if c not in family]
                family.extend(dict.fromkeys(edge))
            mine = [r for r in in_order(index, family, lambda r: r) if r not in ghost.placed]
            for r in mine:
                insert(ghost, r)
            self.alone[b] = b in ghost.placed
            for r in mine:
                if r in ghost.placed:
                    ghost.remove(r)
        return self.alone[b]

    def _make_room(self, b: int) -> None:
        """Clear the cheapest place, with what feeds the batch where it is or taken off too."""
        board = self.board
        near = [
            c
            for c in board.index.consumers[b]
            if c in board.placed and not board.problem.batches[c].fixed
        ]
        if near and self.fails[b] >= HARD and self.rng.random() < 0.3:
            self._elsewhere(b, self.rng.choice(near))
            return
        feeding = self._feeding(b)
        here = not feeding or self.rng.random() < 0.7
        if here and frame(board, board.index.chains[b], None) is not None and self._clear(b):
            return
        if feeding:
            cleans = dict(board.cleans)
            olds = [board.remove(r) for r in feeding]
            if self._clear(b):
                for r in in_order(board.index, feeding, lambda r: -self.fails[r]):
                    insert(board, r)
                return
            with board.restoring(cleans):
                for old in olds:
                    board.place(old)
        if near:
            self._elsewhere(b, self.rng.choice(near))

    def _shake(self, b: int) -> None:
        """Take off much of what wants the same as a batch at about the same time, and put it first.

        The others follow in any order.
        """
        board, rng = self.board, self.rng
        index = board.index
        if b not in board.placed and not insert(board, b):
            self._clear(b)
        if b not in board.placed:
            return
        out = [r for r in machine(board, b, rng) if r != b][: rng.choice(SHAKEN)]
        for r in [*out, b]:
            board.remove(r)
        insert(board, b)
        whim = {r: rng.random() for r in out}
        for r in in_order(index, out, lambda r: whim[r]):
            insert(board, r)

    def _feeding(self, b: int) -> list[int]:
        """Placed batches that feed one, or come before it."""
        board = self.board
        return [
            r
            for r in sorted(board.index.chains[b].neighbours)
            if r in board.placed
            and not board.problem.batches[r].fixed
            and b in board.index.consumers[r]
        ]

    def _clear(self, b: int, taboo: Taboo = ()) -> bool:
        """Ask whoever is cheapest to make way; False where no place could be cleared."""
        board, ghost = self.board, self.ghost
        near = [n for n in sorted(board.index.chains[b].neighbours) if n in board.placed]
        hard = [n for n in near if n not in ghost.placed and ghost.place(board.recorded(n))]
        salt, whim = self.rng.randrange(1 << 20), WHIM * (self.fails[b] >= HARD)
        prices = Prices(board, self.fails, frozenset(near), salt, whim)
        placement = Ejection(ghost, board.index.chains[b], prices, taboo).placement()
        if placement is None and board.problem.batches[b].lanes and insert(ghost, b, taboo):
            placement = ghost.remove(b)
        for n in hard:
            ghost.remove(n)
        return placement is not None and make_way(board, placement, prices) is not None

    def _elsewhere(self, b: int, consumer: int) -> None:
        """Take a consumer off with all that feeds it, and begin with it at another time."""
        board = self.board
        old = board.times[board.index.chains[consumer].tasks[0]][0]
        for r in [consumer, *self._feeding(consumer)]:
            board.remove(r)
        reach = self.rng.choice(REACHES)
        taboo = [(old - reach, old + reach + 1)]
        moved = self._clear(consumer, taboo) or insert(board, consumer)
        if moved and not insert(board, b):
            self._clear(b)

"""Ruin and recreate: take some batches off, put them back better.

A move is accepted by bands: nothing that is served may be lost, nothing may
cost more, and only the last band, quality, may get worse, by a threshold that
shrinks; the best solution is kept apart. Nobody stays longer for quality, even
where overtime costs nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import TYPE_CHECKING

from scheduler.solve.board import placement_in
from scheduler.solve.construct import drop_hopeless, in_order, latest_starts, paid, unplaced
from scheduler.solve.neighbourhoods import NEIGHBOURHOODS, movable, worst
from scheduler.solve.objective import NOTHING, money
from scheduler.solve.placement import keeps_links
from scheduler.solve.ways import insert

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from scheduler.solve.board import Board, Placement
    from scheduler.solve.insertion import Taboo
    from scheduler.solve.objective import Score
    from scheduler.workload.primitives import Placed, Solution

START = 0.01
"""The first threshold, as a part of the first quality."""
SMALL, LARGE = 5, 18
"""Largest set taken off after a new best; and after a long time without one."""
PATIENCE = 40
"""Moves without a new best after which larger sets are tried."""
ELSEWHERE = 0.2
"""How often a batch may not go back where it was, where a plan has costs of its own."""
AWAY = (30, 120, 480)
"""Minutes around its old start that it then keeps away from."""
DEAR = 0.5
"""How often a move begins with something that lies in overtime, while that costs."""
BACK = 0.8
"""How often a move begins with what is not where the plan on the wall has it."""
MEMORY = 0.95
"""How slowly a neighbourhood's luck is forgotten."""


@dataclass(slots=True)
class Luck:
    """How well each neighbourhood has done lately; better ones are drawn more often."""

    weight: dict[str, float] = field(default_factory=lambda: dict.fromkeys(NEIGHBOURHOODS, 1.0))

    def draw(self, rng: Random) -> str:
        """A neighbourhood by chance."""
        names = list(self.weight)
        return rng.choices(names, [self.weight[n] for n in names])[0]

    def learn(self, name: str, reward: float) -> None:
        """Remember what one move brought: 0 nothing, 1 kept, more for a new best."""
        self.weight[name] = max(0.2, MEMORY * self.weight[name] + (1 - MEMORY) * reward)


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
        self.score = board.score()
        self.best = self.score
        self.scale = START * max(1, self.best.quality)
        self.cheapest = money(board.problem)
        self.overtime = NOTHING
        """Ticks of it, and of rest, before a move."""
        self.luck = Luck()
        self.waited = 0

    def run(
        self, progress: Callable[[], float], stop: Callable[[], bool]
    ) -> Iterator[tuple[Score, Solution]]:
        """Yield every new best until stopped.

        Parameters
        ----------
        progress : callable
            The part of the time (or of the moves) that is used up, 0 to 1.
        """
        while not stop():
            if self.move(self.threshold(progress())) and self.score < self.best:
                self.best = self.score
                yield self.best, self.board.solution()

    def threshold(self, used: float) -> int:
        """How much quality a move may cost when that part of the time is used up, 0 to 1."""
        return int(self.scale * max(0.0, 1.0 - used) ** 2)

    def move(self, threshold: int) -> bool:
        """One ruin and recreate; True if it was kept."""
        board, rng = self.board, self.rng
        places = movable(board)
        if not places and not unplaced(board):
            return False
        name = self.luck.draw(rng)
        out: list[int] = []
        if places:
            seed = worst(board, rng) if rng.random() < 0.5 else rng.choice(places)
            dear = self._dear(places)
            if dear and rng.random() < DEAR:
                seed = rng.choice(dear)
            moved = [] if board.told is None else board.told.worst(board.index.pinned)
            if moved and rng.random() < BACK:
                seed = rng.choice(moved)
            most = min(LARGE, SMALL + self.waited // PATIENCE)
            size = rng.randint(1, most)
            out = list(dict.fromkeys([seed, *NEIGHBOURHOODS[name](board, seed, rng)]))[:size]
        before, cleans = frozenset(board.placed), dict(board.cleans)
        self.overtime = board.extended
        olds = {b: board.remove(b) for b in out}
        for old in paid(board):
            olds[old.batch] = old
        self._recreate(olds)
        for old in drop_hopeless(board):
            if old.batch in before:
                olds.setdefault(old.batch, old)
        new = board.score()
        kept = new.dearer < self.score.dearer or (
            new.dearer == self.score.dearer
            and new.quality <= self.score.quality + threshold
            and board.extended.within(self.overtime)
        )
        better = new < self.best
        self.waited = 0 if better else self.waited + 1
        self.luck.learn(name, 4.0 if better else 1.0 if kept and new != self.score else 0.0)
        if kept:
            self.score = new
        else:
            self._undo(olds, before, cleans)
        return kept

    def graft(self, base: Solution, found: Solution) -> bool:
        """Take over what a search elsewhere has changed since `base`, if that is better here.

        What it moved goes where it put it, or, where that is taken by now, to the best place.
        """
        board = self.board
        olds: dict[int, Placement] = {}
        news: list[Placement] = []
        before, cleans = frozenset(board.placed), dict(board.cleans)
        self.overtime = board.extended
        was, there = (
            base.placed(board.problem), found.placed(board.problem),
        )  # fmt: skip
        for b in range(len(board.problem.batches)):
            chain = board.index.chains[b]
            new = placement_in(board.problem, chain, found) if b in there else None
            old = placement_in(board.problem, chain, base) if b in was else None
            if new != old and b not in board.index.pinned:
                if b in board.placed:
                    olds[b] = board.remove(b)
                if new is not None:
                    news.append(new)
        for new in news:
            if board.place(new) and not keeps_links(board, new.batch):
                board.remove(new.batch)
        self._recreate(olds)
        for old in drop_hopeless(board):
            if old.batch in before:
                olds.setdefault(old.batch, old)
        score = board.score()
        within = board.extended.within(self.overtime)
        longer = not within and score.dearer >= self.score.dearer
        if score < self.score and not longer:
            self.score = score
            return True
        self._undo(olds, before, cleans)
        return False

    def _recreate(self, olds: dict[int, Placement]) -> None:
        """Put back what was taken off, and whatever else lacks a place, consumers first."""
        board, rng = self.board, self.rng
        jitter = {b: 0.7 + rng.random() for b in olds}
        board.last_resort = self._may_extend()
        tried: set[int] = set()
        for _ in range(2):
            queue = [b for b in unplaced(board) if b not in tried]
            for b in in_order(board.index, queue, lambda b: self.late[b] * jitter.get(b, 1.0)):
                tried.add(b)
                taboo = self._elsewhere(olds.get(b))
                if not insert(board, b, taboo) and taboo:
                    insert(board, b)

    def _elsewhere(self, old: Placement | None) -> Taboo:
        """Now and then not where it was: what only whole plans cost, no place alone can show."""
        board, rng = self.board, self.rng
        if board.calm is None or old is None or rng.random() > ELSEWHERE:
            return ()
        start = old.times[board.index.chains[old.batch].tasks[0]][0]
        away = max(1, int(rng.choice(AWAY) / board.problem.grid))
        return ((start - away, start + away + 1),)

    def _dear(self, places: list[int]) -> list[int]:
        """What lies in overtime, while some of that could be saved."""
        overtime = self.board.overtime
        if overtime is None or self.score.money <= self.cheapest:
            return []
        return [b for b in places if overtime.has(b)]

    def _may_extend(self) -> bool:
        """Could a solution with more overtime than is on the board now be kept?

        Not for quality, even where it costs nothing.
        """
        if self.board.overtime is None:
            return False
        return any(self.score.served) or not self.overtime.within(self.board.extended)

    def _undo(
        self, olds: dict[int, Placement], before: frozenset[int], cleans: dict[int, Placed]
    ) -> None:
        board = self.board
        with board.restoring(cleans):
            for b in sorted(board.placed):
                if b in olds or b not in before:
                    board.remove(b)
            for old in olds.values():
                board.place(old)

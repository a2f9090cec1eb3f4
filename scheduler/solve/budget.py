"""How much time a search has: seconds of a clock, or counted moves where runs must repeat."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

MOVES_A_SECOND = 60
"""In deterministic mode a second is so many moves."""


class Budget:
    """Time used up so far, as a part of the whole.

    Parameters
    ----------
    seconds : float
    deterministic : bool
        Count calls instead of reading the clock.
    stop : callable
        Asked at every look; True ends everything.
    clock : callable
        Seconds; one that stands still in sleep does not let sleep use up the time.
    """

    def __init__(
        self,
        seconds: float,
        deterministic: bool,
        stop: Callable[[], bool],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.seconds = max(0.0, seconds)
        self.deterministic = deterministic
        self.stop = stop
        self.moves = 0
        self._clock, self._began = clock, clock()

    def spend(self, seconds: float) -> None:
        """In deterministic mode: take off so many seconds for work that is not counted in moves."""
        if self.deterministic:
            self.moves += round(seconds * MOVES_A_SECOND)

    def elapsed(self) -> float:
        """Seconds since the start by the clock, for telling people."""
        return self._clock() - self._began

    def used(self) -> float:
        """0 at the start, 1 and more when it is used up."""
        if self.seconds == 0:
            return 1.0
        if self.deterministic:
            return self.moves / (self.seconds * MOVES_A_SECOND)
        return self.elapsed() / self.seconds

    def left(self) -> float:
        """Seconds that remain."""
        return max(0.0, self.seconds * (1.0 - self.used()))

    def until(self, part: float) -> Callable[[], bool]:
        """A question for a loop: is that part of the budget used up? Each call counts one move."""

        def over() -> bool:
            self.moves += 1
            return self.stop() or self.used() >= part

        return over

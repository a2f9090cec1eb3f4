"""Times as a kitchen says them: to the quarter of an hour, and never too late by that."""

from __future__ import annotations

from dataclasses import dataclass

from scheduler.domain.times import Clock

QUARTER = 15


@dataclass(frozen=True, slots=True)
class By:
    """A moment until which something is to be begun, or ready.

    Attributes
    ----------
    minute : int
        Minutes of the week.
    exact : bool
        Nothing may wait here: it is then, not by then.
    """

    minute: int
    exact: bool = False


class Quarters:
    """Quarters of an hour on a kitchen's wall clock."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock

    def past(self, minute: int) -> int:
        """Minutes since the last quarter."""
        return self._clock.local(minute).minute % QUARTER

    def start_by(self, start: int, earlier: int) -> int:
        """By when to begin: the quarter at or before the plan's start.

        Parameters
        ----------
        start : int
            When the plan begins it. Minute.
        earlier : int
            Minutes that it may begin sooner; where the quarter lies further back, the plan's
            minute stands.
        """
        past = self.past(start)
        return start - past if past <= earlier else start

    def ready_by(self, begun: int, length: int, end: int, later: int) -> int:
        """By when it is to be ready: the first quarter at which it can be.

        Parameters
        ----------
        begun, length : int
            By when it is begun, and how long it takes.
        end, later : int
            When the plan ends it, and minutes that it may end later; where no quarter lies
            between, the plan's minute stands.
        """
        quarter = begun + length + -self.past(begun + length) % QUARTER
        return quarter if quarter <= end + later else end

"""What costs money: time beyond a shift, and the kitchen's steps.

Part of the primitives, which pass these names on.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Extra:
    """A stretch before or after a shift that belongs to a person's spells but costs.

    Used are the ticks from its start to the last end of that person's work in
    it, idle ones too; with `at_end` false those from the first start to its end.
    """

    person: int
    start: int
    end: int
    at_end: bool = True

    def used(self, start: int, end: int) -> int:
        """The ticks that work from start to end makes of it (0 where it lies outside)."""
        if end <= self.start or start >= self.end:
            return 0
        return min(end, self.end) - self.start if self.at_end else self.end - max(start, self.start)


@dataclass(frozen=True, slots=True)
class Money:
    """What overtime and buying in cost.

    Attributes
    ----------
    free : int
        Minutes of overtime in all that cost nothing.
    hour : int
        Price of an hour beyond.
    budget : int
        Buying that costs nothing.
    step : int
        Costs are compared in whole steps of so much, begun ones counted.
    """

    free: int = 0
    hour: int = 60
    budget: int = 0
    step: int = 1

    def steps(self, overtime: int, spent: int) -> int:
        """ceil((max(0, overtime - free) * hour / 60 + max(0, spent - budget)) / step).

        `overtime` in minutes.
        """
        cost = max(0, overtime - self.free) * self.hour + 60 * max(0, spent - self.budget)
        return -(-cost // (60 * self.step))

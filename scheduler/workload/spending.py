"""What costs money: time beyond a shift, rest that is eaten, and the kitchen's steps.

Part of the primitives, which pass these names on.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Extra:
    """A stretch before or after a shift that belongs to a person's spells but costs.

    Used are the ticks from its start to the last end of that person's work in
    it, idle ones too; with `at_end` false those from the first start to its end.
    Of daily rest that is eaten (`rest`) only some belongs to the spells: shifts as written.
    """

    person: int
    start: int
    end: int
    at_end: bool = True
    rest: bool = False

    def used(self, start: int, end: int) -> int:
        """The ticks that work from start to end makes of it (0 where it lies outside)."""
        if end <= self.start or start >= self.end:
            return 0
        return min(end, self.end) - self.start if self.at_end else self.end - max(start, self.start)


@dataclass(frozen=True, slots=True)
class Used:
    """How much of a problem's extras is used, ticks (or minutes)."""

    overtime: int = 0
    rest: int = 0

    @property
    def total(self) -> int:
        """Both."""
        return self.overtime + self.rest

    def within(self, other: Used) -> bool:
        """No more of either."""
        return self.overtime <= other.overtime and self.rest <= other.rest


@dataclass(frozen=True, slots=True)
class Money:
    """What overtime, rest that is eaten and buying in cost.

    Attributes
    ----------
    free : int
        Minutes of overtime in all that cost nothing.
    hour : int
        Price of an hour beyond.
    rest_hour : int
        Price of an hour of rest that is eaten, from the first minute on.
    budget : int
        Buying that costs nothing.
    step : int
        Costs are compared in whole steps of so much, begun ones counted.
    """

    free: int = 0
    hour: int = 60
    budget: int = 0
    step: int = 1
    rest_hour: int = 60

    def steps(self, overtime: int, spent: int, rest: int = 0) -> int:
        """ceil((max(0, overtime - free) * hour / 60 + rest * rest_hour / 60 +
        max(0, spent - budget)) / step).

        `overtime` and `rest` in minutes.
        """
        cost = max(0, overtime - self.free) * self.hour + rest * self.rest_hour
        cost += 60 * max(0, spent - self.budget)
        return -(-cost // (60 * self.step))

"""How long a step lasts: in minutes as written, and on the grid."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import Decides
from scheduler.workload.amounts import ceil_div, ceil_of, convert

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Time


@dataclass(frozen=True, slots=True)
class Law:
    """A range of minutes as written: at_most is None where it is absent or equals at_least.

    `stop`: no longer than that whoever does it; what the grid adds does not count.
    """

    at_least: int
    best: int
    at_most: int | None
    it_decides: bool = False
    undivided: int = 0
    stop: int | None = None

    def ticks(self, grid: int) -> tuple[int, int]:
        """Shortest and longest on the grid; longest < shortest where nothing is left.

        at_least rounds up and at_most down; an at_most that is absent or
        equals at_least is at_least rounded up. Where the food decides, both
        are the longest rounded up.
        """
        least = ceil_div(self.at_least, grid)
        if self.stop is not None and self.at_least > self.stop:
            return least, least - 1
        if self.it_decides:
            longest = ceil_div(self.at_least if self.at_most is None else self.at_most, grid)
            return longest, longest
        return least, (least if self.at_most is None else self.at_most // grid)

    def by(self, pace: Fraction) -> Law:
        """The same work at another pace: 2 for two cooks who share it, 2/3 for a trainee.

        at_least = undivided + (at_least - undivided) / pace, up to whole
        minutes. `best` and `at_most` are about the food, so they stay.
        """
        if pace == 1 or self.it_decides:
            return self
        work = self.at_least - self.undivided
        return replace(self, at_least=self.undivided + ceil_of(work / pace))

    def at_most_in(self, minutes: int, grid: int) -> Law:
        """The same, but no longer than so many minutes; the shortest where that is longer."""
        if self.at_most is None or self.at_most <= minutes:
            return self
        room = minutes // grid >= ceil_div(self.at_least, grid)
        return replace(self, at_most=minutes if room else None, best=min(self.best, minutes))

    def waits_less(self, grid: int) -> int:
        """By how much the clock of what follows starts before the planned end, minutes.

        Nothing unless the food decides: then from the shortest to the planned length.
        """
        return self.ticks(grid)[0] * grid - self.at_least if self.it_decides else 0


def law(
    time: Time, quantity: int, dimension: Dimension, component: Component | None
) -> Law:
    """The range for a quantity: law = at_least + plus × quantity / per, up to whole minutes.

    Raises
    ------
    NoConversion
        Where `per` is in a measure the component cannot be converted to.
    """
    grow = 0
    if time.per is not None and time.plus:
        per: Quantity = time.per
        amount = convert(quantity, dimension, per.dimension, component)
        grow = ceil_of(Fraction(time.plus) * amount / per.base)
    at_least = time.at_least + grow
    best = at_least if time.best is None else time.best + grow
    same = time.at_most is None or time.at_most == time.at_least
    at_most = None if same or time.at_most is None else time.at_most + grow
    return Law(at_least, best, at_most, time.decides is Decides.IT, time.undivided)

"""How long things wait, and where: a band of best age, a wait between steps, a way of keeping."""

from __future__ import annotations

from pydantic import Field, model_validator

from scheduler.domain.base import Slug, Word
from scheduler.domain.quantity import Quantity
from scheduler.domain.times import Duration, write_duration


class Band(Word):
    """How long something may wait, and when it is at its best. All in minutes of age."""

    not_before: Duration = Field(default=0, description="It must wait at least so long, minutes.")
    best_from: Duration | None = Field(
        default=None, description="Best from, minutes; left out: not_before."
    )
    best_until: Duration | None = Field(
        default=None, description="Best until, minutes; left out: best_from."
    )

    def best(self) -> tuple[int, int]:
        """The best band with defaults filled in."""
        low = self.not_before if self.best_from is None else self.best_from
        return low, (low if self.best_until is None else self.best_until)


def _ordered(word: str, band: Band, limit: int | None) -> None:
    low, high = band.best()
    top = high if limit is None else limit
    if not band.not_before <= low <= high <= top:
        raise ValueError(
            f"the {word} is upside down: not before {write_duration(band.not_before)}, best "
            f"{write_duration(low)} to {write_duration(high)}, at most {write_duration(top)}"
        )


class Wait(Band):
    """The wait between a step and the next one; left out, the next follows at once."""

    at_most: Duration = Field(description="Longest, minutes.")
    zone: Slug | None = Field(default=None, description="It waits in a store of this zone.")
    per_shelf: Quantity | None = Field(default=None, description="So much stands on one shelf.")
    in_machine: bool = Field(default=False, description="It waits in the machine that made it.")

    @model_validator(mode="after")
    def _in_order(self) -> Wait:
        _ordered("wait", self, self.at_most)
        if self.per_shelf is not None and self.per_shelf.base <= 0:
            raise ValueError(f"'{self.per_shelf}' must be more than nothing")
        if self.in_machine and self.zone is not None:
            raise ValueError("it waits in the machine or in a zone, not both")
        return self


class Keep(Band):
    """Where a finished component (or a plated dish) keeps, and how long."""

    zone: Slug | None = Field(
        default=None, description="In a store of this zone; left out: at the bench, no shelf."
    )
    at_most: Duration = Field(description="Hold limit, from ready to the start of use, minutes.")
    per_shelf: Quantity | None = Field(
        default=None, description="So much stands on one shelf; left out: one shelf in all."
    )

    @model_validator(mode="after")
    def _in_order(self) -> Keep:
        _ordered("hold", self, self.at_most)
        if self.per_shelf is not None and self.per_shelf.base <= 0:
            raise ValueError(f"'{self.per_shelf}' must be more than nothing")
        return self

    def same_room(self, other: Keep) -> bool:
        """Keeps as long and takes as much room: either may be taken for the other."""
        return (self.at_most, self.per_shelf) == (other.at_most, other.per_shelf)

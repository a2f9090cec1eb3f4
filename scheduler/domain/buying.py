"""What may be bought ready made instead of made: order, delivery, price."""

from __future__ import annotations

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Word
from scheduler.domain.quantity import Quantity
from scheduler.domain.times import Days, Daytime, Duration, Hours

DAILY = (Days("daily"),)


class BoughtIn(Word):
    """Ordered and delivered instead of made.

    It comes some time within the hours of delivery: counted as there at
    their end, and as old from their start. Whole packs are bought.
    """

    name: Label = Field(default="", description="What is ordered; left out: the component's name.")
    lead_time: Duration = Field(
        gt=0, description="From the order to the hours of delivery at least, minutes."
    )
    order_days: tuple[Days, ...] = Field(
        default=DAILY, min_length=1, description="Days on which orders are taken."
    )
    order_before: Daytime | None = Field(
        default=None, description="Orders are taken until this time of the day, min after midnight."
    )
    days: tuple[Days, ...] = Field(default=DAILY, min_length=1, description="Days it comes on.")
    hours: Hours = Field(description="Hours within which it comes, wall-clock.")
    pack: Quantity = Field(description="One pack; whole packs are bought.")
    price: int = Field(ge=0, le=10**6, description="Of one pack, in the kitchen's money.")
    at_most: Duration | None = Field(
        default=None,
        gt=0,
        description="Hold limit from delivery, minutes; left out: as if it were made here.",
    )

    @model_validator(mode="after")
    def _possible(self) -> BoughtIn:
        if self.pack.base <= 0:
            raise ValueError(f"a pack of '{self.pack}' is nothing")
        return self

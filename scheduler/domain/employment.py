"""What people's time costs and how strictly their rest is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from scheduler.domain.base import Word
from scheduler.domain.times import Duration, Hours

How = Literal["hard", "warned"]
Priced = Literal["hard", "priced", "warned"]


def _no_price(why: str) -> Callable[[Any], Any]:
    def read(value: Any) -> Any:
        if value == "priced":
            raise ValueError(f"'priced' has no meaning here: {why}. Maybe 'hard' or 'warned'")
        return value

    return read


_WeeklyRest = Annotated[
    How,
    BeforeValidator(
        _no_price(
            "a week has its rest between shifts as they are written or has not, and no plan gives "
            "it back, as whoever is on shift is at work even where nothing is to be done"
        )
    ),
]
_Breaks = Annotated[
    How,
    BeforeValidator(
        _no_price(
            "a shift has the breaks that are written for it, and no plan takes one away, so there "
            "is nothing to pay for"
        )
    ),
]


class Costs(Word):
    """Exchange rates of the band of money."""

    overtime_allowance: Duration = Field(
        default=0, description="Overtime of everybody together that costs nothing, minutes."
    )
    overtime_hour: int = Field(
        default=30, ge=0, le=10**4, description="Money for an hour of overtime beyond that."
    )
    rest_hour: int = Field(
        default=60,
        ge=1,
        le=10**4,
        description="Money for an hour of daily rest that is eaten where that is priced; none of "
        "it is free.",
    )
    buying_allowance: int = Field(
        default=0, ge=0, le=10**7, description="Money for buying in that counts for nothing."
    )
    step: int = Field(
        default=1,
        ge=1,
        le=10**6,
        description="Plans are compared in whole steps of so much money, so that a few minutes "
        "saved disturb nobody.",
    )


class Rest(Word):
    """How strictly the hours of the rule profile are kept; for people under age always hard."""

    daily_rest: Priced = Field(
        default="hard",
        description="Rest between two working days; priced: a shift that begins sooner is worked "
        "from its start where nothing else serves, at a price.",
    )
    weekly_rest: _WeeklyRest = Field(
        default="hard", description="Rest in one piece in every week."
    )
    breaks: _Breaks = Field(default="hard", description="Breaks by length of shift.")
    young_night: Hours | None = Field(
        default=None,
        description="Night in which nobody under age works, one of the profile's; left out: its "
        "first.",
    )

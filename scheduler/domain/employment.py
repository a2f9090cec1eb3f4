"""What people's time costs and how strictly their rest is kept."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from scheduler.domain.base import Word
from scheduler.domain.times import Duration, Hours

How = Literal["hard", "warned"]


class Costs(Word):
    """Exchange rates of the band of money."""

    overtime_allowance: Duration = Field(
        default=0, description="Overtime of everybody together that costs nothing, minutes."
    )
    overtime_hour: int = Field(
        default=30, ge=0, le=10**4, description="Money for an hour of overtime beyond that."
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

    daily_rest: How = Field(default="hard", description="Rest between two working days.")
    weekly_rest: How = Field(default="hard", description="Rest in one piece in every week.")
    breaks: How = Field(default="hard", description="Breaks by length of shift.")
    young_night: Hours | None = Field(
        default=None,
        description="Night in which nobody under age works, one of the profile's; left out: its "
        "first.",
    )

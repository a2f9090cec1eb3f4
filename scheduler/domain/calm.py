"""What a kitchen wants besides freshness, in its own figures: time in hand, calm, wishes kept.

All of it is part of quality, in the minutes that freshness is counted in: one
weighted minute is one minute outside a best band at weight 1.
"""

from __future__ import annotations

from pydantic import Field

from scheduler.domain.base import Word
from scheduler.domain.quantity import Percent
from scheduler.domain.times import Duration


class TimeInHand(Word):
    """How much time in hand a kitchen wants."""

    long: Duration = Field(
        default=240, description="Unattended work from so long counts as long, minutes."
    )
    out_ahead: Duration = Field(
        default=0,
        description="Long unattended work is out so long before it is needed, as far as its best "
        "band goes; a minute less counts as one outside the band, minutes.",
    )
    quiet: Duration = Field(
        default=0,
        description="So long before each first plate no step of a component that is hands all "
        "the way begins, if it keeps long enough to be done before, minutes.",
    )
    day_full: Percent | None = Field(
        default=None,
        description="In a shift that begins on an event's day nobody is at work for more than "
        "this part of it; left out: all of it.",
    )
    price: int = Field(
        default=1,
        ge=0,
        le=1000,
        description="Weight of a minute of work in quiet hours, or over the part of a day.",
    )


class Calm(Word):
    """What hectic costs, each in weighted minutes; 0: nothing.

    Short visits in the first and last minutes of a shift are where they belong: they are
    no change of anything.
    """

    late_start: int = Field(
        default=0,
        ge=0,
        le=100000,
        description="A long job by hand that begins in the last part of a shift: so many weighted "
        "minutes.",
    )
    long_job: Duration = Field(default=60, description="A job from so long is long, minutes.")
    last_part: Duration = Field(
        default=60, description="The last part of a shift: so many minutes."
    )
    section_change: int = Field(
        default=0,
        ge=0,
        le=100000,
        description="A cook moved from one section's work to another's within a shift: so many "
        "weighted minutes each time.",
    )
    job_change: int = Field(
        default=0,
        ge=0,
        le=100000,
        description="A change of job beyond the free ones of a shift: so many weighted minutes.",
    )
    free_changes: int = Field(
        default=12, ge=0, le=1000, description="So many changes of job a shift are nothing."
    )
    hand_over: int = Field(
        default=0,
        ge=0,
        le=100000,
        description="Loaded by some and unloaded by others: so many weighted minutes.",
    )
    oven_change: int = Field(
        default=0,
        ge=0,
        le=100000,
        description="An oven set to something else: so many weighted minutes each time.",
    )
    clean_down: int = Field(
        default=0,
        ge=0,
        le=1000,
        description="Cleaning machines between contents: so many weighted minutes for each minute.",
    )
    short: Duration = Field(default=20, description="A visit up to so long is short, minutes.")
    ends: Duration = Field(
        default=30, description="The first and last so many minutes of a shift."
    )


class WishPrice(Word):
    """What a wish costs that is not kept."""

    job: int = Field(
        default=60,
        ge=0,
        le=100000,
        description="Each job done by others, elsewhere or on another day: so many weighted "
        "minutes.",
    )
    minute: int = Field(
        default=1,
        ge=0,
        le=1000,
        description="Weight of each minute past `done_by` or ahead of `not_before`.",
    )

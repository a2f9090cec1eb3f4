"""Stepping away from hands-on work, and breaks that move."""

from __future__ import annotations

from pydantic import Field, model_validator

from scheduler.domain.base import Word
from scheduler.domain.times import Duration, Hours, write_duration

APART = 10
"""Nobody works in pieces shorter than this: minutes between stepping away, and at either end."""


class Leave(Word):
    """How far whoever is at it may step away: for short hands elsewhere, or for their break.

    The same person comes back, and the work takes so much longer. Whoever is
    away works nowhere else for long: one visit, or one short job, each time.
    """

    times: int = Field(default=0, ge=0, le=50, description="At most so many times in all.")
    longest: Duration = Field(default=0, description="Each time at most so long, minutes.")
    breaks: bool = Field(
        default=False, description="It may also pause over a break of whoever is at it."
    )

    @model_validator(mode="after")
    def _says_something(self) -> Leave:
        if bool(self.times) != bool(self.longest):
            raise ValueError("`times` and `longest` go together: times: 3, longest: 10 min")
        if not self.times and not self.breaks:
            raise ValueError(
                "it says neither how often and how long (times: 3, longest: 10 min) nor "
                "`breaks: true`"
            )
        return self


class FloatingBreak(Word):
    """A break that may be taken any time within a stretch."""

    between: Hours = Field(description="The wall-clock stretch the break lies in.")
    length: Duration = Field(gt=0, description="How long it is, in minutes.")

    @model_validator(mode="after")
    def _fits(self) -> FloatingBreak:
        room = self.between.end - self.between.start
        if self.length > room:
            raise ValueError(
                f"a break of {write_duration(self.length)} does not fit between {self.between}"
            )
        return self

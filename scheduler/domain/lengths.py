"""How long something takes: a law that may grow with the quantity, and who decides in its range."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from pydantic import Field, model_validator

from scheduler.domain.base import Word
from scheduler.domain.quantity import Quantity
from scheduler.domain.times import Duration, write_duration


class Decides(StrEnum):
    """Who decides how long a step takes within its range."""

    WE = "we"
    IT = "it"


class Time(Word):
    """How long something takes; may grow with the quantity; may be a range.

    law = at_least + plus × quantity / per, rounded up to whole minutes; `best`
    and `at_most` grow by the same amount.
    """

    at_least: Duration = Field(description="Shortest, minutes.")
    plus: Duration = Field(default=0, description="And so much more for every `per`, minutes.")
    per: Quantity | None = Field(default=None, description="The quantity `plus` is for.")
    best: Duration | None = Field(default=None, description="Best; left out: at_least. Minutes.")
    at_most: Duration | None = Field(
        default=None, description="Longest; left out: at_least rounded up to the grid. Minutes."
    )
    undivided: Duration = Field(
        default=0,
        description="So much of it stays as it is where several share the work (setting up), "
        "minutes.",
    )
    decides: Decides = Field(
        default=Decides.WE,
        description="we: the plan picks inside the range. it: the food decides (ferment, grind), "
        "so equipment is taken for the longest.",
    )

    @model_validator(mode="before")
    @classmethod
    def _short_form(cls, data: Any) -> Any:
        return {"at_least": data} if isinstance(data, (str, int)) else data

    @model_validator(mode="after")
    def _in_order(self) -> Time:
        best = self.at_least if self.best is None else self.best
        most = self.at_most
        if best < self.at_least or (most is not None and most < best):
            written = {"at_least": self.at_least, "best": self.best, "at_most": most}
            said = (f"{k} {write_duration(v)}" for k, v in written.items() if v is not None)
            raise ValueError(f"the range is upside down: {', '.join(said)}")
        if bool(self.plus) != (self.per is not None):
            raise ValueError("`plus` and `per` go together: plus: 2 min, per: 1 kg")
        if self.per is not None and self.per.base <= 0:
            raise ValueError(f"'{self.per}' must be more than nothing")
        return self

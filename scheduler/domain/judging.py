"""What is looked at while something is cooked: its core, and whether it is there yet."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Word
from scheduler.domain.celsius import Celsius, other_unit, write_celsius
from scheduler.domain.quantity import plain, read_number
from scheduler.domain.times import Duration, write_duration

_NUMBER = re.compile(r"(?:(?<![\w.,])-)?\d+(?:[.,]\d+)?")
_AT_MOST = re.compile(
    r"(?:ph\s*)?(?:<=|≤|<|at most|not above|no more than|below|under)?\s*"
    r"\d+(?:[.,]\d+)?(?:\s*or (?:below|less|lower))?",
    re.IGNORECASE,
)
_RANGE = re.compile(
    r"(?:ph\s*)?(?:between\s*)?\d+(?:[.,]\d+)?\s*(?:to|and|-|–)\s*\d+(?:[.,]\d+)?", re.IGNORECASE
)
MOST_PH = 14
DAY = 1440
MOST_HELD = 4 * DAY


class Cooked(Word):
    """How hot a step gets the food at its core, and for how long."""

    at: Celsius = Field(description="°C at the core.")
    for_: Duration = Field(default=0, alias="for", description="Held there, minutes.")

    @model_validator(mode="before")
    @classmethod
    def _short_form(cls, data: Any) -> Any:
        return {"at": data} if isinstance(data, (str, int)) else data

    @model_validator(mode="after")
    def _plausible(self) -> Cooked:
        if not 30 <= self.at <= 110:
            raise ValueError(
                f"{write_celsius(self.at)} at the core is not between 30 and 110 °C"
                f"{other_unit(self.at, 30, 110)}"
            )
        if self.for_ > MOST_HELD:
            held = write_duration(self.for_)
            hint = f". Maybe '{self.for_ // DAY} min'" if self.for_ % DAY == 0 else ""
            raise ValueError(f"{held} at the core is longer than 4 d{hint}")
        return self


class Test(Word):
    """How a step that the food decides is judged, and what happens if it is not there yet.

    Where pH is measured, the target says a figure: "at most 4.6", "pH <= 4.2" or "4.2".
    """

    measure: Label = Field(description="What is looked at: pH, fineness, tenderness.")
    target: Label = Field(description="When it is there.")
    longer: Duration | None = Field(default=None, description="If not, so much longer, minutes.")
    last_call: Duration | None = Field(default=None, description="At most so long in all, min.")

    @property
    def of_ph(self) -> bool:
        """Is it pH that is measured?"""
        return re.match(r"ph\b", self.measure, re.IGNORECASE) is not None

    @property
    def ph(self) -> Fraction | None:
        """The most the pH may be; None where something else is measured or no most is said."""
        if self.of_ph and _AT_MOST.fullmatch(self.target) is not None:
            return _figures(self.target)[0]
        if self.of_ph and _RANGE.fullmatch(self.target) is not None:
            return max(_figures(self.target))
        return None

    @model_validator(mode="after")
    def _plausible(self) -> Test:
        if not self.of_ph:
            return self
        found = _figures(self.target)
        if not found:
            raise ValueError(f"'{self.target}' is no pH. Maybe 'at most 4.6'")
        for figure in found:
            if not 0 <= figure <= MOST_PH:
                tenth = figure / 10
                maybe = f". Maybe '{plain(tenth, 4)}'" if 0 <= tenth <= MOST_PH else ""
                raise ValueError(f"pH {plain(figure, 4)} is not between 0 and {MOST_PH}{maybe}")
        return self


def _figures(text: str) -> list[Fraction]:
    return [read_number(one.replace(",", ".")) for one in _NUMBER.findall(text)]

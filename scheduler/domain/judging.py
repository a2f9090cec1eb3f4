"""What is looked at while something is cooked: its core, and whether it is there yet."""

from __future__ import annotations

from typing import Any

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Word
from scheduler.domain.limits import Celsius, as_fahrenheit, write_celsius
from scheduler.domain.times import Duration


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
                f"{write_celsius(self.at)} at the core is not between 30 and 110 °C. Maybe °F was "
                f"meant: '{as_fahrenheit(self.at)}'"
            )
        return self


class Test(Word):
    """How a step that the food decides is judged, and what happens if it is not there yet."""

    measure: Label = Field(description="What is looked at: pH, fineness, tenderness.")
    target: Label = Field(description="When it is there.")
    longer: Duration | None = Field(default=None, description="If not, so much longer, minutes.")
    last_call: Duration | None = Field(default=None, description="At most so long in all, min.")

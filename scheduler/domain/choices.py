"""Figures of food safety that no document gives: our choices, read from `safety/choices.yaml`."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Word
from scheduler.domain.celsius import Celsius
from scheduler.domain.limits import (
    Count,
    Length,
    Measured,
    Number,
    Source,
    Temperature,
    unsourced,
)
from scheduler.domain.shipped import shipped
from scheduler.domain.times import Duration, Hours

if TYPE_CHECKING:
    from fractions import Fraction


class Choice(Source):
    """Something that we chose, and why."""

    why: Label = Field(description="The reason.")


class Degrees(Choice, Temperature):
    """A chosen temperature."""


class Figure(Choice, Measured):
    """A chosen figure; its reason says of what."""


class Years(Choice, Count):
    """A chosen age."""


class Time(Choice, Length):
    """A chosen time."""


class Stretch(Choice):
    """Chosen hours of the day."""

    hours: Hours = Field(description="From and to.")


class Plausible(Choice):
    """Between what a limit can be meant: its temperatures, its time, or its plain number."""

    degrees: tuple[Celsius, Celsius] | None = Field(default=None, description="°C.")
    time: tuple[Duration, Duration] | None = Field(default=None, description="Minutes.")
    number: tuple[Number, Number] | None = Field(default=None, description="Days, or a pH.")


class Choices(Word):
    """All of them."""

    frozen: Degrees = Field(description="What never gets warmer is frozen.")
    freezer: Degrees = Field(description="What a freezer is meant to keep.")
    hot: Degrees = Field(description="Kept hot, where the profile has no limit for that.")
    room: Degrees = Field(description="What starts no warmer was not cooked.")
    meant_cold: Degrees = Field(description="What gets no warmer is meant to be cold.")
    meant_hot: Degrees = Field(description="What gets no colder is meant to be hot.")
    close: Figure = Field(description="°C from a limit: near.")
    near: Figure = Field(description="% of a limit: near.")
    sooner: Figure = Field(description="So many times quicker than estimated is broken.")
    reading: Figure = Field(description="A shorter time at the core need not be written, seconds.")
    freezes_through: Time = Field(description="So long it takes to be frozen through at most.")
    night: Stretch = Field(description="Whoever is alone then is told at every job.")
    adult: Years = Field(description="Of age, where the profile says nothing of it.")
    plausible: dict[str, Plausible] = Field(description="By the name of a limit.")

    @model_validator(mode="after")
    def _sourced(self) -> Choices:
        for lack in unsourced((*(getattr(self, n) for n in type(self).model_fields if n !=
                                 "plausible"), *self.plausible.values())):  # fmt: skip
            raise ValueError(lack)
        return self


@lru_cache
def choices() -> Choices:
    """Our own choices."""
    return Choices.model_validate(shipped("choices"))


def near_limit(figure: Fraction | int, most: Fraction | int) -> bool:
    """Is a figure that keeps a limit near it?"""
    return figure * 100 > most * choices().near.value

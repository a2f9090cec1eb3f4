"""Standing duties: repeating blocks of people, equipment and shelves."""

from __future__ import annotations

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Level, Slug, Word
from scheduler.domain.leaving import Leave
from scheduler.domain.times import Days, Hours


class EquipmentTaken(Word):
    """Equipment a standing duty takes."""

    equipment: Slug = Field(description="Kind or unit.")
    amount: int = Field(default=1, gt=0, description="Places, in the kind's measure.")
    tray: Slug | None = Field(default=None, description="Which family of trays, where it matters.")


class ShelvesTaken(Word):
    """Shelves a standing duty takes."""

    store: Slug = Field(description="Store.")
    shelves: int = Field(gt=0, description="Shelves.")


class HeldAt(Word):
    """An oven that stays at one setting: what needs another cannot be in it."""

    equipment: Slug = Field(description="Unit.")
    mode: Slug = Field(default="dry", description="Mode.")
    celsius: int = Field(description="What it is set to, °C.")


class Duty(Word):
    """A standing duty: a repeating block of people, equipment and shelves."""

    id: Slug = Field(description="Id.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    days: tuple[Days, ...] = Field(min_length=1, description="Days it starts on.")
    hours: Hours = Field(description="From and to, wall-clock.")
    section: Slug | None = Field(default=None, description="Section whose people it takes.")
    people: int = Field(default=0, ge=0, le=50, description="How many people.")
    level: Level = Field(default=Level.TRAINEE, description="Least level.")
    equipment: tuple[EquipmentTaken, ...] = Field(default=(), description="Equipment it takes.")
    stores: tuple[ShelvesTaken, ...] = Field(default=(), description="Shelves it takes.")
    held: tuple[HeldAt, ...] = Field(
        default=(), description="Ovens that stay at one setting meanwhile; it takes no place there."
    )
    may_leave: Leave | None = Field(
        default=None, description="How far its cooks may step away; left out: not at all."
    )
    out_of_use: bool = Field(
        default=False,
        description="What it takes stands still meanwhile: nothing is made on it or left in it.",
    )

    @model_validator(mode="after")
    def _somebody_of(self) -> Duty:
        if self.people and self.section is None:
            raise ValueError(f"{self.people} people of no section. Maybe add 'section:'")
        if self.may_leave and not self.people:
            raise ValueError("`may_leave` of a duty that takes nobody")
        return self

"""What a step, a visit or a plating takes while it runs, and what an oven is set to."""

from __future__ import annotations

from pydantic import Field, model_validator

from scheduler.domain.base import Slug, Word
from scheduler.domain.quantity import Quantity


class Setting(Word):
    """What an oven is set to: a mode and a range of temperature."""

    mode: Slug = Field(default="dry", description="Mode.")
    coldest: int = Field(description="At least, °C.")
    hottest: int = Field(description="At most, °C.")

    @model_validator(mode="after")
    def _in_order(self) -> Setting:
        if self.hottest < self.coldest:
            raise ValueError(f"{self.coldest} to {self.hottest} °C is upside down")
        return self


class Need(Word):
    """Equipment, or shelves of a zone, that something takes while it runs.

    The amount is `amount` places, or one place for every `per` of the load,
    rounded up. A kind that has a `fill` is taken whole.
    """

    equipment: Slug | None = Field(default=None, description="A kind, or one unit of it.")
    zone: Slug | None = Field(default=None, description="Or shelves in a store of this zone.")
    amount: int = Field(default=1, ge=1, description="Places or shelves.")
    per: Quantity | None = Field(default=None, description="Or one for every so much of the load.")
    tray: Slug | None = Field(
        default=None, description="Which family of trays the places are, where a kind `holds` some."
    )
    setting: Setting | None = Field(default=None, description="What the oven is set to.")
    door_shut: bool = Field(
        default=False, description="The door stays shut: nothing else goes in or out meanwhile."
    )
    until: Slug | None = Field(
        default=None,
        description="A later step of this component: taken from here until that one ends "
        "(the step that empties the container), waits included.",
    )

    @model_validator(mode="after")
    def _one_thing(self) -> Need:
        if (self.equipment is None) == (self.zone is None):
            raise ValueError("a need names either equipment or a zone")
        if self.per is not None and self.per.base <= 0:
            raise ValueError(f"'{self.per}' must be more than nothing")
        return self

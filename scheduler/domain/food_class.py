"""The words of a class of food; the classes themselves are data (`safety/food-classes.yaml`)."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Slug
from scheduler.domain.limits import Measured, Source, unsourced


class FoodClass(Source):
    """A class of food: is time and temperature a matter of safety for it?"""

    id: Slug = Field(description="Id, named by a component's `food_class`.")
    name: Label = Field(description="What belongs to it.")
    controlled: bool = Field(description="Kept cold or hot, and dated.")
    why: Label = Field(description="Why, or why not.")
    belongs: Source | None = Field(
        default=None, description="Who says that these foods are so, where the document does not."
    )
    raw: bool = Field(default=False, description="Raw: what it touched is cleaned before the rest.")
    cook: Literal["whole", "egg", "minced", "poultry"] | None = Field(
        default=None, description="How hot it must get."
    )
    roast: bool = Field(default=False, description="The table of whole roasts is for it.")
    parasites: bool = Field(default=False, description="Frozen first where it is served raw.")
    served_raw: bool = Field(default=False, description="Served raw or cured: nothing cooks it.")
    ferment: bool = Field(default=False, description="It becomes acid by itself, in the warm.")
    acid: Measured | None = Field(
        default=None, description="pH by which it belongs here; a profile's own goes before it."
    )

    @property
    def told(self) -> str:
        """Where it stands, and who says that these foods are so, to be put in brackets."""
        if self.belongs is None:
            return self.source
        return f"{self.source}; that these foods are: {self.belongs.source}"

    @model_validator(mode="after")
    def _sourced(self) -> FoodClass:
        for lack in unsourced(self):
            raise ValueError(f"{self.id}: {lack}")
        return self

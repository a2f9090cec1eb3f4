"""The words of a rule profile: limits of food, working hours, what people under age may not do."""

from __future__ import annotations

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Slug, Word
from scheduler.domain.limits import Count, FoodLimits, Length, Source, unsourced
from scheduler.domain.times import Hours


class Night(Source):
    """Hours in which nobody of them works."""

    hours: Hours = Field(description="From and to.")


class Limits(Word):
    """What working hours one group of people may have."""

    daily_rest: Length = Field(description="In one piece in every 24 h.")
    weekly_rest: Length = Field(description="In one piece in every calendar week …")
    beside_daily: Length | None = Field(
        default=None, description="… and the daily rest is not part of it."
    )
    fortnight: Length | None = Field(
        default=None, description="Or so much in one piece, or the weekly rest twice, in two weeks."
    )
    break_after: Length = Field(description="A shift longer than this has a break …")
    break_length: Length = Field(description="… of at least this (1 min: of any length).")
    weekly_hours: Length = Field(description="Over a week, breaks left out.")
    on_average: bool = Field(
        default=False, description="Over months only: one week cannot show whether it is kept."
    )
    daily_hours: Length | None = Field(default=None, description="Over a day, breaks left out.")
    nights: tuple[Night, ...] = Field(
        default=(), description="One of these; which is the kitchen's choice (first: default)."
    )


class Work(Word):
    """Working hours; people under `of_age` are young workers, under `least_age` none."""

    adults: Limits = Field(description="Everybody of age.")
    young: Limits = Field(description="Everybody under age.")
    of_age: Count = Field(description="Years.")
    least_age: Count = Field(description="Years.")


class Barred(Source):
    """What nobody under age may use or do."""

    hazards: tuple[Slug, ...] = Field(min_length=1, description="Hazards, by id.")


WORKING = ("work", "of_age", "barred")
"""What a profile says of people, or says why it does not."""


class Profile(Word):
    """The limits of one jurisdiction."""

    id: Slug = Field(description="Id, named by a kitchen's `rule_profile`.")
    name: Label = Field(description="Whose limits.")
    food: FoodLimits = Field(default=FoodLimits(), description="Limits of food safety.")
    absent: dict[str, Label] = Field(
        default={}, description="Why a limit of food safety, or one for people, is not there."
    )
    work: Work | None = Field(default=None, description="Working hours.")
    of_age: Count | None = Field(default=None, description="Years; younger people are barred.")
    barred: tuple[Barred, ...] = Field(default=(), description="From what.")

    @model_validator(mode="after")
    def _complete(self) -> Profile:
        said = {name for name, _ in self.food.named()}
        said |= {name for name in WORKING if getattr(self, name)}
        limits = (*FoodLimits.model_fields, *WORKING)
        for name in limits:
            if (name in said) == (name in self.absent):
                how = "both there and absent" if name in said else "neither there nor said absent"
                raise ValueError(f"`{name}` is {how}")
        for name in self.absent:
            if name not in limits:
                raise ValueError(f"`absent` names '{name}', which is no limit")
        if self.barred and self.of_age is None:
            raise ValueError("`barred` without `of_age`")
        return self

    @model_validator(mode="after")
    def _sourced(self) -> Profile:
        for lack in unsourced(self):
            raise ValueError(lack)
        return self

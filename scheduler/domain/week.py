"""The week: the events planned together, and what is already there."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from pydantic import Field, model_validator

from scheduler.domain.base import Label, Slug, Word
from scheduler.domain.quantity import Percent, Quantity, plain
from scheduler.domain.times import Duration, Moment
from scheduler.domain.wishes import Acceptance, Wish


class Diet(Word):
    """Guests who get a dish with something replaced, made first and apart."""

    id: Slug = Field(description="Id, e.g. gluten-free.")
    count: int = Field(gt=0, le=100000, description="How many, exactly; no margin.")
    swap: dict[Slug, Slug] = Field(
        default={}, description="Component: the component that replaces it."
    )
    free_of: tuple[Slug, ...] = Field(
        default=(), description="Allergens that its plates must not contain."
    )


class Wave(Word):
    """A part of a dish that goes out later (a reception, a buffet's top-up)."""

    after: Duration = Field(description="After the dish's first plate, minutes.")
    share: Percent = Field(description="Part of the portions.")


class Course(Word):
    """A dish at an event: when, how many."""

    dish: Slug = Field(description="Dish.")
    after: Duration = Field(default=0, description="After the event's first plate away, minutes.")
    each: Literal["guest", "table", "event"] = Field(
        default="guest", description="So many `per` guest, table or event."
    )
    per: int = Field(default=1, ge=1, le=1000, description="Portions for each.")
    count: int | None = Field(default=None, ge=1, le=100000, description="Or a choice as a count.")
    share: Percent | None = Field(default=None, description="Or a choice as a share of guests.")
    crew: int = Field(default=0, ge=0, le=10000, description="Crew meals on top; no margin.")
    diets: tuple[Diet, ...] = Field(default=(), description="Diets among them.")
    waves: tuple[Wave, ...] = Field(default=(), description="Goes out in waves.")

    @model_validator(mode="after")
    def _counts(self) -> Course:
        if self.count is not None and self.share is not None:
            raise ValueError("a choice is a count or a share, not both")
        if self.waves:
            total = sum((w.share.part for w in self.waves), start=Fraction(0))
            if total != 1:
                raise ValueError(f"the waves' shares come to {plain(total * 100)} %, not to 100 %")
        return self


class Event(Word):
    """Dishes, counts and the moment the first plate goes away."""

    id: Slug = Field(description="Id.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    first_plate: Moment = Field(description="First plate away, the kitchen's wall clock.")
    guests: int = Field(gt=0, le=100000, description="Guests guaranteed.")
    tables: int | None = Field(default=None, gt=0, le=20000, description="Tables.")
    margin: Percent | None = Field(
        default=None, description="Planned on top; left out: the kitchen's, by size of event."
    )
    rank: int = Field(default=1, ge=1, le=100, description="1 matters most.")
    menu: tuple[Course, ...] = Field(min_length=1, description="Dishes.")


class OnHand(Word):
    """Something finished that stands in a store when the week begins."""

    id: Slug = Field(description="Id of the lot.")
    component: Slug = Field(description="Component.")
    state: Slug | None = Field(default=None, description="Its state; left out: as it is made.")
    quantity: Quantity = Field(description="How much.")
    made: Moment = Field(description="When it was ready.")
    store: Slug | None = Field(default=None, description="Store; left out: at the bench.")
    reserved_for: Slug | None = Field(default=None, description="Only for this event.")

    @model_validator(mode="after")
    def _something(self) -> OnHand:
        if self.quantity.base <= 0:
            raise ValueError(f"'{self.quantity}' on hand is nothing")
        return self


class InProgress(Word):
    """A batch whose steps have begun before the week does."""

    id: Slug = Field(description="Id of the batch.")
    component: Slug = Field(description="Component.")
    state: Slug | None = Field(
        default=None, description="The state it is on its way to; left out: as it is made."
    )
    quantity: Quantity = Field(description="Size of the batch.")
    method: Slug | None = Field(default=None, description="Method; left out: its own steps.")
    step: Slug = Field(description="The step that is running; earlier ones are done.")
    started: Moment = Field(description="When that step's law began (end of loading).")
    on: tuple[Slug, ...] = Field(default=(), description="Units and stores it is on.")
    last_visit: Moment | None = Field(default=None, description="When it was tended last.")
    reserved_for: Slug | None = Field(default=None, description="Only for this event.")

    @model_validator(mode="after")
    def _something(self) -> InProgress:
        if self.quantity.base <= 0:
            raise ValueError(f"'{self.quantity}' in progress is nothing")
        return self


class Delivery(Word):
    """When an ingredient arrives; a step that takes it starts after that."""

    id: Slug = Field(description="Id.")
    ingredient: Slug = Field(description="Ingredient.")
    at: Moment = Field(description="When it arrives.")
    quantity: Quantity | None = Field(default=None, description="How much; left out: enough.")
    in_house: Quantity | None = Field(default=None, description="So much is here before that.")
    zone: Slug | None = Field(default=None, description="Takes shelves in this zone.")
    shelves: int | None = Field(
        default=None, ge=1, le=10000, description="So many shelves from arrival until it is used."
    )
    at_most: Duration | None = Field(
        default=None, gt=0, description="Used so long after arrival at most, minutes."
    )

    @model_validator(mode="after")
    def _room(self) -> Delivery:
        if (self.zone is None) != (self.shelves is None):
            raise ValueError("`zone` and `shelves` go together: zone: chilled, shelves: 6")
        if self.shelves is not None and self.quantity is None:
            raise ValueError("what takes shelves says how much it is: `quantity`")
        return self


class Week(Word):
    """A run of events planned together."""

    id: Slug = Field(description="Id.")
    name: Label = Field(default="", description="Name on sheets; the id if left out.")
    starts: Moment = Field(description="The horizon begins.")
    ends: Moment = Field(description="The horizon ends.")
    plan_from: Moment = Field(description="Nothing is planned before this moment: now.")
    events: tuple[Event, ...] = Field(min_length=1, description="Events.")
    on_hand: tuple[OnHand, ...] = Field(default=(), description="What stands in a store.")
    in_progress: tuple[InProgress, ...] = Field(default=(), description="What is running.")
    deliveries: tuple[Delivery, ...] = Field(default=(), description="Deliveries.")
    wishes: tuple[Wish, ...] = Field(default=(), description="The chef's wishes.")
    accepted: tuple[Acceptance, ...] = Field(default=(), description="House rules broken.")

    @model_validator(mode="after")
    def _in_order(self) -> Week:
        if not self.starts <= self.plan_from < self.ends:
            raise ValueError(
                f"starts {self.starts:%Y-%m-%d %H:%M}, plan_from {self.plan_from:%Y-%m-%d %H:%M}, "
                f"ends {self.ends:%Y-%m-%d %H:%M}: out of order"
            )
        if (self.ends - self.starts).days > 62:
            raise ValueError("a run of events of more than 62 days")
        return self

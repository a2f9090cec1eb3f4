"""The words of a rule profile: published limits, each with the place where it stands.

Nothing here has a value. Shipped profiles are data in `scheduler/safety/profiles`;
a kitchen may say its own in `own_limits`.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema, model_validator

from scheduler.domain.base import Label, Slug, Word
from scheduler.domain.celsius import Celsius, other_unit, write_celsius
from scheduler.domain.quantity import plain, read_number
from scheduler.domain.times import Duration, Hours, write_duration

Evidence = Literal["seen", "second hand", "from memory", "common practice", "our own"]
Kept = Literal["cold", "frozen", "hot", "out"]
DEFER = "Local codes and licensed practice decide, not this list."


def _read_plain(value: Any) -> Fraction:
    return value if isinstance(value, Fraction) else read_number(str(value))


Number = Annotated[
    Fraction,
    BeforeValidator(_read_plain),
    PlainSerializer(lambda value: plain(value, 4), return_type=str),
    WithJsonSchema({"type": "string", "examples": ["4.6"]}),
]


class Source(Word):
    """Where a limit stands, and who has seen it there."""

    document: Label = Field(default="the kitchen's own rule", description="Document.")
    edition: Label | None = Field(default=None, description="Edition, or the texts it was read in.")
    section: Label | None = Field(default=None, description="Section.")
    evidence: Evidence = Field(
        default="our own",
        description="seen: in a copy of the text; second hand: quoted by others; from memory: not "
        "looked up; common practice: no document; our own: the kitchen's.",
    )
    advice: bool = Field(default=False, description="Guidance, not law: told, never enforced.")
    confirmed: Label | None = Field(
        default=None, description="Who in this kitchen has looked it up, and when."
    )

    @property
    def hard(self) -> bool:
        """Is it enforced? What is from memory only once the kitchen has looked it up."""
        if self.confirmed:
            return True
        return not self.advice and self.evidence in ("seen", "second hand", "our own")

    @property
    def source(self) -> str:
        """In brackets behind a figure."""
        named = " ".join(p for p in (self.document, self.edition, self.section) if p)
        if self.confirmed:
            return f"{named}; looked up by {self.confirmed}"
        notes = {"second hand": "second hand", "from memory": "from memory, not confirmed"}
        said = [notes[self.evidence]] if self.evidence in notes else []
        said += ["guidance"] if self.advice else []
        return "; ".join([named, *said])


class Temperature(Source):
    """A limit in degrees."""

    value: Celsius = Field(description="°C.")

    def __str__(self) -> str:
        return write_celsius(self.value)


class Length(Source):
    """A limit of time."""

    value: Duration = Field(description="How long, minutes.")

    def __str__(self) -> str:
        return write_duration(self.value)


class Count(Source):
    """A limit in whole numbers: days, years."""

    value: int = Field(ge=1, le=400, description="How many days or years.")

    def __str__(self) -> str:
        return str(self.value)


class Exposure(Length):
    """How long food may be neither cold nor hot, in all."""

    counts: Literal["everything", "waiting"] = Field(
        default="everything", description="What adds up: work and waiting, or waiting only."
    )


class Measured(Source):
    """A limit without a unit: pH, water activity."""

    value: Number = Field(description="Value.")

    def __str__(self) -> str:
        return plain(self.value, 4)


class Fall(Word):
    """From one temperature to another within a time."""

    start: Celsius = Field(alias="from", description="The clock starts when it is this warm.")
    end: Celsius = Field(alias="to", description="And stops when it is this cold.")
    within: Duration = Field(gt=0, description="How long that may take, minutes.")

    @model_validator(mode="after")
    def _down(self) -> Fall:
        if self.end >= self.start:
            raise ValueError(
                f"from {write_celsius(self.start)} to {write_celsius(self.end)} is no cooling"
            )
        return self

    def __str__(self) -> str:
        there = f"{write_celsius(self.start)} to {write_celsius(self.end)}"
        return f"{there} within {write_duration(self.within)}"


class Cooling(Source):
    """All of these must be met. On one clock they start at one temperature; apart they do not."""

    windows: tuple[Fall, ...] = Field(min_length=1, max_length=4, description="What must be met.")

    def __str__(self) -> str:
        return " and ".join(str(one) for one in self.windows)


class Core(Temperature):
    """So hot at the core for so long."""

    seconds: int = Field(default=0, ge=0, le=86400, description="Held there so many seconds.")
    fahrenheit: int | None = Field(
        default=None, description="Or so many °F, where the document rounds both: 63 °C (145 °F)."
    )

    def reached(self, core: Fraction) -> bool:
        """Is that hot enough, on either scale?"""
        other = self.value if self.fahrenheit is None else Fraction(5 * (self.fahrenheit - 32), 9)
        return core >= min(self.value, other)

    def __str__(self) -> str:
        return write_celsius(self.value) + (f" for {self.seconds} s" if self.seconds else "")


class Freezing(Word):
    """So cold for so long."""

    at: Celsius = Field(description="°C at most.")
    held: Duration = Field(gt=0, description="Held there, minutes.")
    solid: Celsius | None = Field(
        default=None, description="Frozen through at this before, which does not count as held."
    )

    def __str__(self) -> str:
        said = f"at {write_celsius(self.at)} for {write_duration(self.held)}"
        solid = "" if self.solid is None else f", frozen through at {write_celsius(self.solid)}"
        return said + solid


class Freezings(Source):
    """Any of these is enough."""

    ways: tuple[Freezing, ...] = Field(min_length=1, description="Any one of them.")

    def __str__(self) -> str:
        return " or ".join(str(one) for one in self.ways)


class Held(Word):
    """A row of a table of cooking: so hot at the core, so long."""

    core: Celsius = Field(description="°C at the core.")
    seconds: int = Field(ge=0, le=86400, description="At least so many seconds.")


class Roasts(Source):
    """Whole roasts: the cooler, the longer."""

    rows: tuple[Held, ...] = Field(min_length=2, description="By rising temperature.")

    @model_validator(mode="after")
    def _in_order(self) -> Roasts:
        for a, b in zip(self.rows, self.rows[1:], strict=False):
            if not (a.core < b.core and a.seconds >= b.seconds):
                raise ValueError(f"{write_celsius(b.core)} is out of order in the table of roasts")
        return self


class AllergenRule(Source):
    """Which list of allergens holds."""

    items: Slug = Field(description="eu or us.")


class FoodLimits(Word):
    """Limits of food safety, by name."""

    cold: Temperature | None = Field(default=None, description="Kept cold: at most.")
    hot: Temperature | None = Field(default=None, description="Kept hot: at least.")
    hot_roasts: Temperature | None = Field(
        default=None, description="Whole roasts cooked by the table, kept hot: at least."
    )
    cooling: Cooling | None = Field(default=None, description="Cooling what was cooked.")
    cooling_mixed: Cooling | None = Field(
        default=None, description="Cooling what was made of things at room temperature."
    )
    exposure: Exposure | None = Field(
        default=None, description="Neither cold nor hot: at most so long, then it is thrown away."
    )
    rechill: Length | None = Field(
        default=None, description="And only within this may it go back into the cold."
    )
    reheat: Core | None = Field(default=None, description="Reheated to be kept hot: at least.")
    reheat_within: Length | None = Field(default=None, description="And within this.")
    cook_whole: Core | None = Field(
        default=None, description="Whole meat, fish; eggs broken to order and served at once."
    )
    cook_egg: Core | None = Field(default=None, description="Any other raw egg.")
    cook_minced: Core | None = Field(default=None, description="Minced or injected meat.")
    cook_poultry: Core | None = Field(default=None, description="Poultry and what is stuffed.")
    roasts: Roasts | None = Field(default=None, description="Whole roasts, slowly.")
    parasites: Freezings | None = Field(
        default=None, description="Fish that is served raw or cured is frozen first."
    )
    date_mark: Count | None = Field(
        default=None, description="Ready to eat and kept cold: days, the day it is made counted."
    )
    date_mark_beyond: Length | None = Field(
        default=None, description="Only what is kept longer than this is dated."
    )
    acid: Measured | None = Field(default=None, description="pH at or below which food is acid.")
    dry: Measured | None = Field(default=None, description="Water activity at most, for dry food.")
    clean_every: Length | None = Field(
        default=None, description="What touches such food at room temperature is cleaned so often."
    )
    allergens: AllergenRule | None = Field(default=None, description="Which allergens are listed.")

    def named(self) -> Iterator[tuple[str, Source]]:
        """Every limit that is said, by its name."""
        for name in type(self).model_fields:
            limit = getattr(self, name)
            if limit is not None:
                yield name, limit

    def cook(self, kind: str | None) -> Core | None:
        """How hot at the core: `whole`, `egg`, `minced` or `poultry` (`FoodClass.cook`)."""
        limit: Core | None = getattr(self, f"cook_{kind}") if kind is not None else None
        return limit

    @model_validator(mode="after")
    def _plausible(self) -> FoodLimits:
        for name, low, high in _LIKELY:
            limit: Temperature | None = getattr(self, name)
            if limit is not None and not low <= limit.value <= high:
                raise ValueError(
                    f"`{name}`: {limit} is not between {low} and {high} °C"
                    f"{other_unit(limit.value, low, high)}"
                )
        if self.acid is not None and not 3 <= self.acid.value <= 5:
            tenth = plain(self.acid.value / 10, 4)
            raise ValueError(f"`acid`: pH {self.acid} is not between 3 and 5. Maybe '{tenth}'")
        if self.dry is not None and not Fraction(1, 2) <= self.dry.value < 1:
            raise ValueError(f"`dry`: a water activity of {self.dry} is not between 0.5 and 1")
        if self.rechill and self.exposure and self.rechill.value > self.exposure.value:
            raise ValueError(f"`rechill` {self.rechill} is longer than `exposure` {self.exposure}")
        return self


_LIKELY = (("cold", -5, 15), ("hot", 45, 90), ("hot_roasts", 45, 90), ("reheat", 55, 100))
"""Limits, and between how many °C they can be."""


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


class Profile(Word):
    """The limits of one jurisdiction."""

    id: Slug = Field(description="Id, named by a kitchen's `rule_profile`.")
    name: Label = Field(description="Whose limits.")
    food: FoodLimits = Field(default=FoodLimits(), description="Limits of food safety.")
    absent: dict[str, Label] = Field(
        default={}, description="Why a limit of food safety is not there."
    )
    work: Work | None = Field(default=None, description="Working hours.")
    of_age: Count | None = Field(default=None, description="Years; younger people are barred.")
    barred: tuple[Barred, ...] = Field(default=(), description="From what.")

    @model_validator(mode="after")
    def _complete(self) -> Profile:
        said = {name for name, _ in self.food.named()}
        for name in FoodLimits.model_fields:
            if (name in said) == (name in self.absent):
                how = "both there and absent" if name in said else "neither there nor said absent"
                raise ValueError(f"`{name}` is {how}")
        for name in self.absent:
            if name not in FoodLimits.model_fields:
                raise ValueError(f"`absent` names '{name}', which is no limit")
        if self.barred and self.of_age is None:
            raise ValueError("`barred` without `of_age`")
        return self


class FoodClass(Source):
    """A class of food: is time and temperature a matter of safety for it?"""

    id: Slug = Field(description="Id, named by a component's `food_class`.")
    name: Label = Field(description="What belongs to it.")
    controlled: bool = Field(description="Kept cold or hot, and dated.")
    why: Label = Field(description="Why, or why not.")
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

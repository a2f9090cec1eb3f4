"""The words of a limit: what is published of food, each with the place where it stands.

Nothing here has a value. Shipped profiles are data in `scheduler/safety/profiles`;
a kitchen may say its own in `own_limits`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema, model_validator

from scheduler.domain.base import Label, Slug, Word
from scheduler.domain.celsius import Celsius, write_celsius
from scheduler.domain.quantity import plain, read_number
from scheduler.domain.times import Duration, write_duration

Evidence = Literal["seen", "second hand", "from memory", "common practice", "our own"]
Kept = Literal["cold", "frozen", "hot", "out"]
DEFER = "Local codes and licensed practice decide, not this list."


def _read_plain(value: Any) -> Fraction:
    if isinstance(value, Fraction):
        return value
    text = str(value).strip()
    if re.fullmatch(r"[0-9]+(?:\.[0-9]+)? ?%", text):
        part = plain(read_number(text[:-1].strip()) / 100, 4)
        raise ValueError(f"'{text}' is a part of a hundred, not of one. Maybe {part}")
    return read_number(text)


Number = Annotated[
    Fraction,
    BeforeValidator(_read_plain),
    PlainSerializer(lambda value: plain(value, 4), return_type=str),
    WithJsonSchema({"type": "string", "examples": ["4.6"]}),
]


class Source(Word):
    """Where a limit stands, and who has seen it there.

    What stands by default is the kitchen's own word; shipped data say theirs (`unsourced`).
    """

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
        default=None,
        description="Who in this kitchen has looked it up, and when; of a limit of its own that is "
        "looser than the published one also why.",
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


def unsourced(part: Any, where: str = "") -> Iterator[str]:
    """Every place in shipped data that does not say its document and its evidence, with what lacks.

    In them nothing is "our own" by being forgotten.
    """
    if isinstance(part, (tuple, list)):
        for n, one in enumerate(part):
            yield from unsourced(one, f"{where}[{n}]")
    if not isinstance(part, Word):
        return
    if isinstance(part, Source):
        lacks = [f"`{f}`" for f in ("document", "evidence") if f not in part.model_fields_set]
        if lacks:
            yield f"`{where}` says no {' and no '.join(lacks)}"
    for name in type(part).model_fields:
        yield from unsourced(getattr(part, name), f"{where}.{name}".lstrip("."))


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


class Within(Length):
    """A limit of time that may itself be too long."""

    strictly: bool = Field(default=False, description="Less than this: so long is too long.")

    @property
    def most(self) -> int:
        """The longest that is still within it, whole minutes."""
        return self.value - 1 if self.strictly else self.value

    @property
    def over(self) -> str:
        """When it is too late: "after 2 h", "from 2 h on"."""
        plainly = write_duration(self.value)
        return f"from {plainly} on" if self.strictly else f"after {plainly}"

    def __str__(self) -> str:
        return f"{'less than ' if self.strictly else ''}{write_duration(self.value)}"


class Exposure(Within):
    """How long food may be neither cold nor hot, in all."""

    counts: Literal["everything", "waiting"] = Field(
        default="everything", description="What adds up: work and waiting, or waiting only."
    )
    once: bool = Field(
        default=False, description="On one occasion only; a second one is told, not enforced."
    )


class Measured(Source):
    """A limit without a unit: pH."""

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


class Held(Word):
    """A row of a table of cooking: so hot at the core, so long."""

    core: Celsius = Field(description="°C at the core.")
    seconds: int = Field(ge=0, le=86400, description="At least so many seconds.")


class Core(Temperature):
    """So hot at the core for so long."""

    seconds: int = Field(default=0, ge=0, le=86400, description="Held there so many seconds.")
    fahrenheit: int | None = Field(
        default=None, description="Or so many °F, where the document rounds both: 63 °C (145 °F)."
    )
    also: tuple[Held, ...] = Field(
        default=(), description="Or one of these, where the document lets it be cooler for longer."
    )

    @model_validator(mode="after")
    def _no_easier(self) -> Core:
        for row in self.also:
            if row.core < self.value and row.seconds <= self.seconds:
                raise ValueError(
                    f"{write_celsius(row.core)} for {row.seconds} s is cooler than "
                    f"{write_celsius(self.value)} and no longer: more than {self.seconds} s was "
                    "expected"
                )
        return self

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
        default=None, description="Frozen through at this before; the time counts from then on."
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


class Roasts(Source):
    """Whole roasts: the cooler, the longer."""

    rows: tuple[Held, ...] = Field(min_length=2, description="By rising temperature.")

    def __str__(self) -> str:
        ends = self.rows[0], self.rows[-1]
        return " to ".join(f"{write_celsius(r.core)} for {r.seconds} s" for r in ends)

    @model_validator(mode="after")
    def _in_order(self) -> Roasts:
        for a, b in zip(self.rows, self.rows[1:], strict=False):
            if not (a.core < b.core and a.seconds >= b.seconds):
                raise ValueError(f"{write_celsius(b.core)} is out of order in the table of roasts")
        return self


class AllergenRule(Source):
    """Which list of allergens holds."""

    items: Slug = Field(description="eu or us.")

    def __str__(self) -> str:
        return f"list '{self.items}'"


class Rule(Source):
    """A rule without a figure."""

    def __str__(self) -> str:
        return "as it stands there"


class ColdRoom(Word):
    """A row of a table: in a room at most so warm, cleaned at least so often."""

    room: Celsius = Field(description="The room at its warmest, °C.")
    every: Duration = Field(gt=0, description="Cleaned at least every so often, minutes.")


class ColdRooms(Source):
    """What touches such food in a cold room is cleaned less often, the colder it is."""

    rows: tuple[ColdRoom, ...] = Field(min_length=1, description="From the coldest to the warmest.")

    def __str__(self) -> str:
        rows = (f"at {write_celsius(r.room)} every {write_duration(r.every)}" for r in self.rows)
        return ", ".join(rows)

    @model_validator(mode="after")
    def _in_order(self) -> ColdRooms:
        for a, b in zip(self.rows, self.rows[1:], strict=False):
            if not (a.room < b.room and a.every > b.every):
                what = f"{write_celsius(b.room)} is out of order in the table of cold rooms"
                raise ValueError(what)
        return self

    def at(self, room: Fraction) -> Length | None:
        """How often in a room that is at most so warm; None where that is no cold room."""
        row = next((row for row in self.rows if room <= row.room), None)
        if row is None:
            return None
        said = {name: getattr(self, name) for name in Source.model_fields}
        return Length.model_construct(value=row.every, **said)


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
    exposure_hot: Within | None = Field(
        default=None, description="Of that since it was last hot: at most so long."
    )
    rechill: Within | None = Field(
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
    clean_every: Length | None = Field(
        default=None, description="What touches such food at room temperature is cleaned so often."
    )
    clean_every_cold: ColdRooms | None = Field(
        default=None, description="And so often in a cold room."
    )
    clean_between: Rule | None = Field(
        default=None, description="What raw food has touched is cleaned before other food."
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

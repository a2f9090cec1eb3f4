"""What may be said in the record, kind by kind, and how it is checked."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field, StringConstraints, ValidationError, model_validator

from scheduler.book.arriving import sentence
from scheduler.book.columns import canonical
from scheduler.book.errors import BookError
from scheduler.domain.base import Label, Word
from scheduler.domain.celsius import other_unit
from scheduler.domain.judging import MOST_PH
from scheduler.domain.problems import nearest
from scheduler.domain.quantity import UNITS, Quantity, plain, read_number
from scheduler.domain.times import write_duration

Kind = Literal["done", "started", "measured", "skipped", "quantity", "discarded", "note"]
KINDS: tuple[Kind, ...] = get_args(Kind)
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=2000)]
Usable = Literal["whole", "part", "none"]
Visit = Annotated[str, StringConstraints(pattern=r"^(load|hands|tend|add|unload):[0-9]{1,4}$")]

_DEGREES = {"c": "°C", "f": "°F"}
_OF_FOOD = (-40, 105)
"""°C. What has water in it is hardly hotter than that boils; sugar and fat have no core."""
_BETWEEN = {"core": _OF_FOOD, "food": _OF_FOOD, "air": (-45, 90), "store": (-45, 90)}
"""°C between which something may be measured at all: common practice, no source."""
_OTHERWISE = (-60, 400)
_PLAIN_UNITS = ("%", "°Bx", "min", "h", "mm", "cm")
_DECIMAL_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]{1,2})")


class Said(Word):
    """Anything that is entered."""

    clock: int = Field(
        default=0,
        description="Seconds by which its time was put right, as the clock where it was entered "
        "was so far behind the book's; the book's own word (`record.enter`).",
    )


class OfAJob(Said):
    """What is said of a job: of the whole task, or of one visit to it."""

    visit: Visit | None = Field(
        default=None,
        description="Which visit (`tend:2`); left out: the task as a whole, which is over with "
        "the visit that ends it.",
    )


class Done(OfAJob):
    """A job is done; that it was begun is implied."""

    as_planned: bool = Field(
        default=False,
        description="Confirmed for a whole section, so when it was done is as the plan has it.",
    )


class Started(OfAJob):
    """A job was begun."""


class Skipped(OfAJob):
    """A job was left out, or put off."""

    why: Text = Field(description="Why.")


class Made(Said):
    """How much there is of a batch, and how much of it is good."""

    made: Quantity = Field(description="How much came of it.")
    usable: Usable = Field(default="whole", description="Usable whole, in part or not at all.")
    good: Quantity | None = Field(default=None, description="How much is good, where in part.")

    @model_validator(mode="after")
    def _so_much(self) -> Made:
        if self.made.base <= 0:
            raise ValueError(f"'{self.made}' is nothing; what was thrown away is discarded")
        if self.usable != "part":
            if self.good is not None:
                raise ValueError("how much is good is said where it is usable in part")
            return self
        if self.good is None:
            raise ValueError("say how much of it is good")
        if self.good.dimension is not self.made.dimension:
            raise ValueError(f"'{self.good}' and '{self.made}' are measured in different ways")
        if not 0 < self.good.base < self.made.base:
            raise ValueError(f"'{self.good}' of '{self.made}' is not a part of it")
        return self


class Discarded(Said):
    """Something was thrown away."""

    why: Text = Field(description="Why.")
    quantity: Quantity | None = Field(default=None, description="How much; none: all of it.")


class Note(Said):
    """Anything else that somebody wants to be known."""

    text: Text = Field(description="What.")


def _value(said: Any) -> str:
    """A number as it is typed with wet fingers, as a plain decimal; a comma may be its point."""
    if isinstance(said, bool) or not isinstance(said, (str, int, float)):
        raise ValueError("a measurement is a number")
    text = " ".join(str(said).split()).replace("\N{MINUS SIGN}", "-")
    if comma := _DECIMAL_COMMA.fullmatch(text):
        text = f"{comma[1]}.{comma[2]}"
    return plain(read_number(text), 6)


def _unit(said: Any) -> str:
    text = " ".join(str(said).split())
    degrees = _DEGREES.get(text.removeprefix("°").removeprefix("º").strip().lower())
    if degrees:
        return degrees
    known = ("°C", "°F", "pH", *_PLAIN_UNITS, *UNITS)
    by_small = {k.lower(): k for k in known}
    if text.lower() in by_small:
        return by_small[text.lower()]
    meant = nearest(text, known)
    raise ValueError(f"unknown unit '{text}'. Maybe '{meant or '°C'}'")


def _meant(celsius: Fraction, low: int, high: int) -> str:
    """What was probably meant by so many °C: °F, or a point was left out."""
    other = other_unit(celsius, low, high)
    if celsius >= 100 and low <= celsius / 10 <= high:
        point = f"a point was left out: '{plain(celsius / 10, 4)} °C'"
        return f"{other}, or {point}" if other else f". Maybe {point}"
    return other


class Measured(Said):
    """Something was measured, and where it was not as it should be, something was done."""

    what: Label = Field(description="What: core, store, pH …")
    value: Annotated[str, BeforeValidator(_value)] = Field(description="The number.")
    unit: Annotated[str, BeforeValidator(_unit)] = Field(description="Its unit.")
    did: Text | None = Field(default=None, description="What was done about it.")

    @property
    def celsius(self) -> Fraction | None:
        """°C, where it is a temperature."""
        value = Fraction(self.value)
        if self.unit == "°F":
            return (value - 32) * 5 / 9
        return value if self.unit == "°C" else None

    @model_validator(mode="after")
    def _can_be(self) -> Measured:
        said, value, celsius = f"{self.value} {self.unit}", Fraction(self.value), self.celsius
        if celsius is not None:
            low, high = _BETWEEN.get(self.what.lower(), _OTHERWISE)
            if not low <= celsius <= high:
                maybe = _meant(celsius, low, high) if self.unit == "°C" else ""
                raise ValueError(f"{said} cannot be, for '{self.what}'{maybe}")
        elif self.unit == "pH" and not 0 <= value <= MOST_PH:
            maybe = f". Maybe '{plain(value / 10, 4)}'" if 0 <= value / 10 <= MOST_PH else ""
            raise ValueError(f"a pH of {self.value} is not between 0 and {MOST_PH}{maybe}")
        elif value < 0:
            raise ValueError(f"{said} cannot be: it is less than nothing")
        return self


MODELS: dict[str, type[Said]] = {
    "done": Done, "started": Started, "measured": Measured, "skipped": Skipped, "quantity": Made,
    "discarded": Discarded, "note": Note,
}  # fmt: skip


def said(kind: str, body: Any) -> Said:
    """What an entry of the record says, checked.

    Raises
    ------
    BookError
        In one sentence.
    """
    if kind not in MODELS:
        meant = nearest(str(kind)[:60], KINDS)
        maybe = f"Maybe '{meant}'" if meant else f"There are {', '.join(KINDS)}"
        raise BookError(f"There is no entry of the kind '{str(kind)[:60]}'. {maybe}.")
    if not isinstance(body, dict):
        raise BookError(f"An entry '{kind}' is fields and their values.")
    try:
        return MODELS[kind].model_validate(body)
    except ValidationError as error:
        raise BookError(sentence(error, f"An entry '{kind}'")) from None


def in_words(kind: str, body: Any) -> str:
    """An entry as a line of a log."""
    try:
        word = said(kind, body)
    except BookError:  # Entered when something else could be said.
        return f"{kind}: {canonical(body)}"
    if not word.clock:
        return _in_words(kind, word)
    apart = write_duration(round(abs(word.clock) / 60))
    side = "behind" if word.clock > 0 else "ahead"
    return f"{_in_words(kind, word)} (time put right: the clock there was {apart} {side})"


def _in_words(kind: str, word: Said) -> str:
    if isinstance(word, Measured):
        did = f"; {word.did}" if word.did else ""
        number = f"{word.unit} {word.value}" if word.unit == "pH" else f"{word.value} {word.unit}"
        return f"{number}{did}" if word.what == word.unit else f"{word.what} {number}{did}"
    if isinstance(word, Made):
        good = f", {word.good} of it good" if word.good else ""
        return f"{word.made} made{good}" + (", none of it usable" if word.usable == "none" else "")
    if isinstance(word, Discarded):
        return f"{word.quantity or 'all'} thrown away: {word.why}"
    visit = f" ({word.visit})" if isinstance(word, OfAJob) and word.visit else ""
    if isinstance(word, Skipped):
        return f"left out{visit}: {word.why}"
    if isinstance(word, Done) and word.as_planned:
        return f"done as planned{visit}"
    return word.text if isinstance(word, Note) else f"{kind}{visit}"

"""How thick something is, what part of it is water, how well its surroundings take its warmth:
figures of a cooling, as they are written."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer, WithJsonSchema

from scheduler.domain.quantity import plain, read_number
from scheduler.heat.cooling import MOST_ACROSS

_MM = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(127, 5)}
_MEANT = {
    "inch": "in", "inches": "in", '"': "in", "″": "in",
    "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
}  # fmt: skip
_LIKE = "Write it like '50 mm', '5 cm' or '2 in'"
_MOST_FILM = 10_000


def read_across(value: Any) -> Fraction:
    """Read "50 mm", "5 cm" or "2 in" as millimetres, exactly."""
    if isinstance(value, Fraction):
        return value
    if isinstance(value, (bool, dict, list, tuple)):
        raise ValueError(f"a length is a number and a unit. {_LIKE}")
    text = " ".join(str(value).split()).replace("\N{MINUS SIGN}", "-")
    match = re.fullmatch(r"([+-]?[0-9.,]+) ?([A-Za-z]*|\"|″)", text)
    if match is None:
        raise ValueError(f"'{text[:40]}' is not a length. {_LIKE}")
    if re.fullmatch(r"[+-]?[0-9]+,[0-9]+", match[1]):
        raise ValueError(f"'{text}' has a comma. Maybe '{text.replace(',', '.')}'")
    number, unit = read_number(match[1]), match[2]
    if not unit:
        raise ValueError(f"'{text}' has no unit. Maybe '{text} mm' or '{text} cm'")
    if unit == "m":
        raise ValueError(f"'{text}' is in metres. Maybe '{plain(number * 1000, 6)} mm'")
    if unit not in _MM:
        small = unit.lower()
        meant = small if small in _MM else _MEANT.get(small)
        said = f"Maybe '{match[1]} {meant}'" if meant else _LIKE
        raise ValueError(f"'{text}' is no length. {said}")
    if number <= 0:
        raise ValueError(f"'{text}' must be more than nothing")
    if number * _MM[unit] > MOST_ACROSS:
        hint = "" if unit == "mm" else f". Maybe '{match[1]} mm'"
        raise ValueError(f"'{text}' is more than a metre{hint}")
    return number * _MM[unit]


Across = Annotated[
    Fraction,
    BeforeValidator(read_across),
    PlainSerializer(lambda mm: f"{plain(mm, 12)} mm", return_type=str),
    WithJsonSchema({"type": "string", "examples": ["50 mm", "5 cm", "2 in"]}),
]


def read_share(value: Any) -> Fraction:
    """Read "70 %" or 0.7 as a part of one, exactly."""
    if isinstance(value, Fraction):
        return value
    text = str(value).strip()
    if text.endswith("%"):
        return read_number(text[:-1].strip()) / 100
    return read_number(text)


Share = Annotated[
    Fraction,
    BeforeValidator(read_share),
    PlainSerializer(lambda part: plain(part, 12), return_type=str),
    WithJsonSchema({"type": "string", "examples": ["0.7", "70 %"]}),
]


def read_film(value: Any) -> Fraction:
    """Read a film coefficient, W/m²K, written as a bare number."""
    if isinstance(value, Fraction):
        return value
    text = str(value).strip()
    bare = re.fullmatch(r"([0-9]+(?:\.[0-9]+)?) ?W ?/ ?\(?m.*", text, re.IGNORECASE)
    if bare:
        raise ValueError(f"'{text[:40]}' has a unit; it is in W/m²K without one. Maybe {bare[1]}")
    number = read_number(text)
    if number > _MOST_FILM:
        raise ValueError(
            f"'{text}' W/m²K is more than ice water that is stirred ever gives; still air gives "
            "about 8, a fan 20, a blast 60, ice water 300"
        )
    return number


Film = Annotated[
    Fraction,
    BeforeValidator(read_film),
    PlainSerializer(lambda value: plain(value, 4), return_type=str),
    WithJsonSchema({"type": "string", "examples": ["20"]}),
]

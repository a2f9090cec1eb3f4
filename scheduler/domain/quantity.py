"""Amounts of things: mass, volume and pieces, kept apart and exact.

A quantity is written as a number and a unit ("30 kg", "1.5 l", "48 pieces")
and held as an exact fraction of one base unit per dimension: gram,
millilitre, piece. Nothing here is a float, so 100 guests and 10 % are 110
portions and never 111.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from scheduler.domain.problems import nearest


class Dimension(StrEnum):
    """What a unit measures. Converting between two needs a stated density or piece weight."""

    MASS = "mass"
    VOLUME = "volume"
    COUNT = "count"


# Exact by definition: the international pound (1959) and the US gallon of 231
# cubic inches. tests/domain checks every row against pint's unit registry.
UNITS: dict[str, tuple[Dimension, Fraction]] = {
    "mg": (Dimension.MASS, Fraction(1, 1000)),
    "g": (Dimension.MASS, Fraction(1)),
    "kg": (Dimension.MASS, Fraction(1000)),
    "lb": (Dimension.MASS, Fraction("453.59237")),
    "oz-weight": (Dimension.MASS, Fraction("28.349523125")),
    "ml": (Dimension.VOLUME, Fraction(1)),
    "cl": (Dimension.VOLUME, Fraction(10)),
    "dl": (Dimension.VOLUME, Fraction(100)),
    "l": (Dimension.VOLUME, Fraction(1000)),
    "oz-volume": (Dimension.VOLUME, Fraction("29.5735295625")),
    "gal": (Dimension.VOLUME, Fraction("3785.411784")),
    "piece": (Dimension.COUNT, Fraction(1)),
    "pieces": (Dimension.COUNT, Fraction(1)),
    "portion": (Dimension.COUNT, Fraction(1)),
    "portions": (Dimension.COUNT, Fraction(1)),
    "dozen": (Dimension.COUNT, Fraction(12)),
}
BASE = {Dimension.MASS: "g", Dimension.VOLUME: "ml", Dimension.COUNT: "pieces"}
# The unit somebody most likely meant by a word that is not one of ours.
MEANT = {
    "oz": "oz-weight or oz-volume",
    "ounce": "oz-weight or oz-volume",
    "ounces": "oz-weight or oz-volume",
    "lbs": "lb",
    "pound": "lb",
    "pounds": "lb",
    "gr": "g",
    "gram": "g",
    "grams": "g",
    "kilo": "kg",
    "kilos": "kg",
    "kgs": "kg",
    "litre": "l",
    "litres": "l",
    "liter": "l",
    "liters": "l",
    "lt": "l",
    "pc": "pieces",
    "pcs": "pieces",
    "pce": "pieces",
    "each": "pieces",
    "gallon": "gal",
    "gallons": "gal",
    "doz": "dozen",
    "serving": "portions",
    "servings": "portions",
}
_WRITTEN = re.compile(r"^([+-]?[0-9]+(?:\.[0-9]+)?)\s*([A-Za-z-]+)$")
_MOST_DIGITS = 12


def read_number(text: str) -> Fraction:
    """Read a plain decimal number exactly; refuse commas and numbers nobody weighs out.

    Raises
    ------
    ValueError
        With what is wrong and what was probably meant.
    """
    if re.fullmatch(r"[+-]?[0-9]+,[0-9]+", text):
        raise ValueError(f"'{text}' has a comma. Maybe {text.replace(',', '.')}")
    if not re.fullmatch(r"[+-]?[0-9]+(?:\.[0-9]+)?", text):
        raise ValueError(f"'{text}' is not a number")
    if sum(ch.isdigit() for ch in text) > _MOST_DIGITS:
        raise ValueError(f"'{text}' has more digits than anybody can weigh out")
    return Fraction(text)


@dataclass(frozen=True, slots=True, eq=False)
class Quantity:
    """An exact amount of one dimension.

    Attributes
    ----------
    base : Fraction
        The amount in g, ml or pieces.
    dimension : Dimension
    text : str
        As it was written; used for printing and for writing files again.
    """

    base: Fraction
    dimension: Dimension
    text: str

    @classmethod
    def parse(cls, value: Any) -> Quantity:
        """Read "30 kg"; raise ValueError with what was probably meant."""
        if isinstance(value, Quantity):
            return value
        if isinstance(value, bool) or not isinstance(value, (str, int, float, Decimal)):
            raise ValueError("an amount is a number and a unit, like '30 kg', '2 l' or '48 pieces'")
        text = " ".join(str(value).split())
        if re.fullmatch(r"[+-]?[0-9]+,[0-9]+ ?[A-Za-z-]*", text):
            raise ValueError(f"'{text}' has a comma. Maybe '{text.replace(',', '.')}'")
        match = _WRITTEN.match(text) if len(text) <= 60 else None
        if match is None:
            if re.fullmatch(r"[+-]?[0-9.]+", text):
                raise ValueError(
                    f"'{text}' has no unit. Maybe '{text} g', '{text} ml' or '{text} pieces'"
                )
            raise ValueError(f"'{text}' is not an amount. Write it like '30 kg' or '48 pieces'")
        number, unit = match.groups()
        if unit not in UNITS:
            small = unit.lower()
            meant = small if small in UNITS else MEANT.get(small)
            if meant is None and len(small) > 3:
                near = nearest(small, (*UNITS, *MEANT))
                meant = MEANT.get(near, near)
            hint = f" Maybe {meant}" if meant else f" Known: {', '.join(UNITS)}"
            raise ValueError(f"unknown unit '{unit}' in '{text}'.{hint}")
        dimension, factor = UNITS[unit]
        return cls(read_number(number) * factor, dimension, text)

    @classmethod
    def of(cls, base: Fraction | int, dimension: Dimension) -> Quantity:
        """Make a quantity from base units, written in the unit a cook would use."""
        base = Fraction(base)
        if dimension is Dimension.COUNT:
            return cls(base, dimension, f"{plain(base)} pieces")
        big, small = ("kg", "g") if dimension is Dimension.MASS else ("l", "ml")
        if abs(base) >= 1000:
            return cls(base, dimension, f"{plain(base / 1000)} {big}")
        return cls(base, dimension, f"{plain(base)} {small}")

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Quantity)
            and self.base == other.base
            and self.dimension == other.dimension
        )

    def __hash__(self) -> int:
        return hash((self.base, self.dimension))

    def __str__(self) -> str:
        return self.text

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.parse, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"type": "string", "examples": ["30 kg", "1.5 l", "48 pieces"]}


def plain(number: Fraction, places: int = 3) -> str:
    """Write a fraction as a decimal without trailing zeros, rounded to `places`."""
    text = f"{Decimal(round(number * 10**places)) / 10**places:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@dataclass(frozen=True, slots=True)
class Percent:
    """A share of a whole, written "12 %" and held as an exact fraction of one."""

    part: Fraction

    @classmethod
    def parse(cls, value: Any) -> Percent:
        """Read "12 %"; a bare number is refused because 12 and 0.12 look alike."""
        if isinstance(value, Percent):
            return value
        text = str(value).strip()
        if not isinstance(value, str) or not text.endswith("%"):
            raise ValueError(f"'{text}' is not a percentage. Maybe '{text} %'")
        part = read_number(text[:-1].strip()) / 100
        if not 0 <= part <= 1:
            raise ValueError(f"'{text}' is not between 0 % and 100 %")
        return cls(part)

    def __str__(self) -> str:
        return f"{plain(self.part * 100, 12)} %"

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.parse, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"type": "string", "examples": ["12 %"]}

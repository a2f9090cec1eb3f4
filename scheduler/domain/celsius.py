"""Temperatures as they are written: exact degrees Celsius, also from Fahrenheit."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer, WithJsonSchema

from scheduler.domain.quantity import plain, read_number

_ELSE = re.compile(
    r"([+-]?[0-9]+(?:[.,][0-9]+)?) ?"
    r"(°|º|deg|degrees?)? ?(c|celsius|centigrade|f|fahrenheit|k|kelvin)?[ °º.]*",
    re.IGNORECASE,
)
_ICE_POINT = Fraction("273.15")


class FromFahrenheit(Fraction):
    """Degrees Celsius that somebody wrote in °F, so that a hint knows what to doubt."""


def read_celsius(value: Any) -> Fraction:
    """Read "5 °C", "41 °F" or a bare number of degrees Celsius, exactly."""
    if isinstance(value, Fraction):
        return value
    if isinstance(value, (bool, dict, list, tuple)):
        raise ValueError("a temperature is written like '5 °C'")
    text = " ".join(str(value).split())
    number = text.replace("\N{MINUS SIGN}", "-").rstrip("CcFf").rstrip("°º ")
    try:
        degrees = read_number(number)
    except ValueError:
        meant = _probably(text)
        said = f". Maybe {meant}" if meant else ". Write it like '5 °C'"
        raise ValueError(f"'{text}' is not a temperature{said}") from None
    if text[-1:] in ("F", "f"):
        degrees = FromFahrenheit((degrees - 32) * 5 / 9)
    if not -273 <= degrees <= 400:
        raise ValueError(f"'{text}' is no temperature of any kitchen")
    return degrees


def write_celsius(degrees: Fraction) -> str:
    """Write a temperature: "5 °C", "54.4 °C"."""
    sign = "-" if degrees < 0 else ""
    return f"{sign}{plain(abs(degrees), 4)} °C"


def _probably(text: str) -> str:
    """What was meant by a temperature written in another way; empty where nobody can tell."""
    match = _ELSE.fullmatch(text)
    if match is None:
        return ""
    number, unit = match[1].replace(",", "."), (match[3] or "c")[0].upper()
    if unit == "K":
        return f"'{write_celsius(Fraction(round(Fraction(number) - _ICE_POINT)))}'"
    return f"'{number} °{unit}'"


def fahrenheit_meant(degrees: Fraction, low: int, high: int) -> Fraction | None:
    """°C, where °F must have been meant by a figure in °C: the one that makes sense.

    Parameters
    ----------
    low, high : int
        Between what it makes sense, °C.
    """
    if isinstance(degrees, FromFahrenheit):
        return None
    meant = Fraction(round((degrees - 32) * 50 / 9), 10)
    return meant if low <= meant <= high else None


def other_unit(degrees: Fraction, low: int, high: int) -> str:
    """What somebody may have meant who mixed up °C and °F; empty where that makes no sense."""
    meant = fahrenheit_meant(degrees, low, high)
    if meant is not None:
        return f". Maybe °F was meant: '{write_celsius(meant)}'"
    written = degrees * 9 / 5 + 32
    if isinstance(degrees, FromFahrenheit) and low <= written <= high:
        return f". Maybe °C was meant: '{write_celsius(written)}'"
    return ""


def _exact(degrees: Fraction) -> str:
    """So that reading it back gives the same fraction: Fahrenheit where Celsius would not."""
    if (degrees * 10**4).denominator == 1:
        return write_celsius(degrees)
    warm = degrees * 9 / 5 + 32
    return f"{'-' if warm < 0 else ''}{plain(abs(warm), 4)} °F"


Celsius = Annotated[
    Fraction,
    BeforeValidator(read_celsius),
    PlainSerializer(_exact, return_type=str),
    WithJsonSchema({"type": "string", "examples": ["5 °C", "41 °F"]}),
]

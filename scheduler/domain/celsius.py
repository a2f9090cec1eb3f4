"""Temperatures as they are written: exact degrees Celsius, also from Fahrenheit."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer, WithJsonSchema

from scheduler.domain.quantity import plain, read_number


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
        raise ValueError(f"'{text}' is not a temperature. Write it like '5 °C'") from None
    if text[-1:] in ("F", "f"):
        degrees = (degrees - 32) * 5 / 9
    if not -273 <= degrees <= 400:
        raise ValueError(f"'{text}' is no temperature of any kitchen")
    return degrees


def write_celsius(degrees: Fraction) -> str:
    """Write a temperature: "5 °C", "54.4 °C"."""
    sign = "-" if degrees < 0 else ""
    return f"{sign}{plain(abs(degrees), 4)} °C"


def other_unit(degrees: Fraction, low: int, high: int) -> str:
    """What somebody may have meant who mixed up °C and °F; empty where neither makes sense.

    Parameters
    ----------
    low, high : int
        Between what it makes sense, °C.
    """
    as_f, as_c = (degrees - 32) * 5 / 9, degrees * 9 / 5 + 32
    if low <= as_f <= high:
        return f". Maybe °F was meant: '{write_celsius(Fraction(round(as_f * 10), 10))}'"
    if low <= as_c <= high:
        return f". Maybe °C was meant: '{write_celsius(Fraction(round(as_c * 10), 10))}'"
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

"""What somebody has measured against what it should be: right, not there yet, or out of bounds."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from scheduler.domain.celsius import write_celsius
from scheduler.domain.quantity import plain
from scheduler.outputs.measuring import Kind, Measure
from scheduler.outputs.quarters import QUARTER

LATE = QUARTER
"""Minutes after its moment at which a reading still counts for it. Common practice, no source."""
WHAT: dict[Kind, str] = {"core": "core", "cooling": "food", "pH": "pH"}
"""What the record calls what is measured."""
UNITS: dict[Kind, tuple[str, ...]] = {
    "core": ("°C", "°F"), "cooling": ("°C", "°F"), "pH": ("pH",),
}  # fmt: skip
"""In what it is measured, the usual one first."""
DID: dict[Kind, tuple[str, ...]] = {
    "core": ("heated on and measured again", "thrown away", "asked the chef"),
    "cooling": ("into the blast chiller", "into shallow trays, on ice", "thrown away",
                "asked the chef"),
    "pH": ("left longer, test again", "thrown away", "asked the chef"),
}  # fmt: skip
"""What is often done about it: offered, not imposed. Common practice, no source."""
_TYPED = re.compile(r"(?P<number>.*?[0-9])\s*(?P<unit>[°º]?\s*[CcFf]|[Pp][Hh])?\s*")


class Verdict(Enum):
    """How a reading stands to what it should be."""

    FINE = "fine"
    NOT_YET = "not yet"
    OUT = "out"


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading beside its target.

    Attributes
    ----------
    verdict : Verdict
    said : str
        Why, where it is not fine; otherwise empty.
    """

    verdict: Verdict
    said: str = ""


def typed(text: str, unit: str) -> tuple[str, str]:
    """A number and its unit as they were typed into one field: "62,5 °C", "145f", "4.6".

    Parameters
    ----------
    unit : str
        Where the text has none.
    """
    found = _TYPED.fullmatch(" ".join(text.split()))
    if found is None:
        return text, unit
    return found["number"], found["unit"] or unit


def judged(measure: Measure, value: Fraction, unit: str, at: int, before: bool = False) -> Judged:
    """Hold a reading against its target.

    Parameters
    ----------
    value : Fraction
        In `unit`.
    at : int
        When it was read. Minute.
    before : bool
        A reading that was made in time was fine already.
    """
    if measure.target is None:
        return Judged(Verdict.FINE)
    read = _celsius(value, unit)
    if _reaches(measure, read):
        late = measure.kind == "cooling" and measure.by is not None and at > measure.by + LATE
        if before or not late:
            return Judged(Verdict.FINE)
        return Judged(
            Verdict.OUT,
            f"{_told(value, unit)} now, but it was to be {measure.said}, and nothing shows that "
            "it was.",
        )
    said = f"{_told(value, unit)}, and it is to be {measure.said}."
    if measure.by is not None and at < measure.by:
        return Judged(Verdict.NOT_YET, said)
    return Judged(Verdict.OUT, said + _other_unit(measure, value, unit))


def reaches(measure: Measure, value: Fraction, unit: str) -> bool:
    """Is a reading as its target has it, whenever it was made?"""
    return measure.target is None or _reaches(measure, _celsius(value, unit))


def _reaches(measure: Measure, read: Fraction) -> bool:
    assert measure.target is not None
    return read >= measure.target if measure.at_least else read <= measure.target


def _celsius(value: Fraction, unit: str) -> Fraction:
    return (value - 32) * 5 / 9 if unit == "°F" else value


def _other_unit(measure: Measure, value: Fraction, unit: str) -> str:
    """That the other scale may have been meant, where the same figure would be right on it."""
    if unit == "pH":
        return ""
    other = "°F" if unit == "°C" else "°C"
    meant = _celsius(value, other)
    if not (_reaches(measure, meant) and _COLDEST <= meant <= _HOTTEST):
        return ""
    same = f": {_told(value, other)} is {write_celsius(Fraction(round(meant)))}"
    return f" Maybe {other} was meant{same if other == '°F' else ''}."


_COLDEST, _HOTTEST = 0, 105
"""°C between which a figure on the other scale is worth asking about: what cools is not ice, and
what has water in it is hardly hotter."""


def _told(value: Fraction, unit: str) -> str:
    sign = "-" if value < 0 else ""
    number = f"{sign}{plain(abs(value), 6)}"
    return f"pH {number}" if unit == "pH" else f"{number} {unit}"

"""Amounts are exact: no portion too many, no gram lost, no unit mistaken."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.quantity import (
    UNITS,
    Dimension,
    Percent,
    Quantity,
    plain,
    read_number,
)

# Our word: the registry's, where it differs. Portions and pieces are plain counts.
_THEIRS = {
    "lb": "pound",
    "oz-weight": "ounce",
    "oz-volume": "US_fluid_ounce",
    "gal": "US_liquid_gallon",
    "piece": "count",
    "pieces": "count",
    "portion": "count",
    "portions": "count",
}
_NOT_THEIRS = {"dozen"}  # Counted by hand below.
_BASE = {Dimension.MASS: "gram", Dimension.VOLUME: "milliliter", Dimension.COUNT: "count"}


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize("unit", [u for u in UNITS if u not in _NOT_THEIRS])
def test_a_unit_is_as_large_as_everywhere_else(unit: str, registry: pint.UnitRegistry[Any]) -> None:
    """Against pint's registry (pint 0.25, its default definitions), exactly."""
    dimension, factor = UNITS[unit]
    theirs = registry.Quantity(Fraction(1), _THEIRS.get(unit, unit)).to(_BASE[dimension])
    assert Fraction(theirs.magnitude) == factor


# Worked by hand, the sum beside it.
SUMS = [
    ("30 kg", 30_000),  # 30 x 1,000 g
    ("1.5 l", 1_500),  # 1.5 x 1,000 ml
    ("0.001 kg", 1),
    ("250 mg", Fraction(1, 4)),
    ("2 dozen", 24),  # 2 x 12
    ("48 pieces", 48),
    ("1 lb", Fraction("453.59237")),  # international yard and pound agreement, 1959
    ("16 oz-weight", Fraction("453.59237")),  # 16 avoirdupois ounces are a pound
    ("1 gal", Fraction("3785.411784")),  # 231 cubic inches of 2.54^3 ml: 231 x 16.387064
    ("128 oz-volume", Fraction("3785.411784")),  # 128 fluid ounces are a gallon
    ("3 dl", 300),
    ("75 cl", 750),
]


@pytest.mark.parametrize(("text", "base"), SUMS)
def test_an_amount_is_worked_out_by_hand(text: str, base: int | Fraction) -> None:
    assert Quantity.parse(text).base == base


def test_a_hundred_guests_and_ten_per_cent_are_110_portions_not_111() -> None:
    assert ceil(100 * 1.1) == 111  # What floating point makes of it.
    assert ceil(100 * (1 + Percent.parse("10 %").part)) == 110


def test_ten_per_cent_is_exact_from_one_to_three_thousand_guests() -> None:
    part = Percent.parse("10 %").part
    for guests in range(1, 3001):
        assert ceil(guests * (1 + part)) == guests + (guests + 9) // 10


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("1,5 kg", r"has a comma\. Maybe '1\.5 kg'"),
        ("1.5", r"has no unit\. Maybe '1\.5 g'"),
        ("3 oz", r"unknown unit 'oz' .* Maybe oz-weight or oz-volume"),
        ("3 ounces", r"Maybe oz-weight or oz-volume"),
        ("3 KG", r"unknown unit 'KG' .* Maybe kg"),
        ("3 litres", r"Maybe l$"),
        ("3 cups", r"unknown unit 'cups' .* Known: mg, g"),
        ("1234567890123 g", "more digits than anybody can weigh out"),
        ("kg", "is not an amount"),
        (".5 kg", "is not an amount"),
        ("1e3 g", "is not an amount"),
        ("5 kg 200 g", "is not an amount"),
        ("½ kg", "is not an amount"),
        ("٣ kg", "is not an amount"),
        ("inf kg", "is not an amount"),
        ("9" * 100_000 + " kg", "is not an amount"),
    ],
)
def test_what_is_no_amount_says_why(text: str, what: str) -> None:
    with pytest.raises(ValueError, match=what):
        Quantity.parse(text)


@pytest.mark.parametrize("text", ["101 %", "-1 %", "12", "1,5 %", "%", "NaN %"])
def test_what_is_no_part_of_a_whole_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="'"):
        Percent.parse(text)


def test_bare_numbers_are_not_percentages() -> None:
    with pytest.raises(ValueError, match=r"'0\.12' is not a percentage"):
        Percent.parse(Decimal("0.12"))


def test_amounts_are_printed_as_a_cook_writes_them() -> None:
    assert str(Quantity.of(1500, Dimension.MASS)) == "1.5 kg"
    assert str(Quantity.of(999, Dimension.MASS)) == "999 g"
    assert str(Quantity.of(12_345, Dimension.VOLUME)) == "12.345 l"
    assert str(Quantity.of(12, Dimension.COUNT)) == "12 pieces"
    assert plain(Fraction(100)) == "100"
    assert plain(Fraction(1, 3)) == "0.333"


_number = st.decimals(0, 999_999, places=3, allow_nan=False).map(lambda d: f"{d:f}")


@given(_number, st.sampled_from(sorted(UNITS)))
def test_an_amount_read_and_written_is_the_same(number: str, unit: str) -> None:
    amount = Quantity.parse(f"{number} {unit}")
    assert Quantity.parse(str(amount)) == amount
    assert amount.base == read_number(number) * UNITS[unit][1]


@given(st.integers(0, 10**9), st.sampled_from(list(Dimension)))
def test_whole_amounts_survive_their_printing(base: int, dimension: Dimension) -> None:
    assert Quantity.parse(str(Quantity.of(base, dimension))).base == base


@given(st.integers(0, 10**9))
def test_a_percentage_read_and_written_is_the_same(billionths: int) -> None:
    percent = Percent(Fraction(billionths, 10**9))
    assert Percent.parse(str(percent)) == percent


@given(st.text(max_size=80))
def test_no_text_breaks_the_reading_of_amounts(text: str) -> None:
    for read in (Quantity.parse, Percent.parse, read_number):
        try:
            read(text)
        except ValueError as error:
            assert str(error)

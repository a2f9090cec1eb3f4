"""Measurements: a figure out of bounds is never taken without a word, nor a good one questioned."""

from __future__ import annotations

from fractions import Fraction

import pytest

from scheduler.outputs.measured import Verdict, judged, typed
from scheduler.outputs.measuring import Measure

CORE = Measure("core", "core 74 °C or hotter for 2 min", Fraction(74), at_least=True, held=2)
COLD = Measure("cooling", "5 °C or colder by 18:00", Fraction(5), by=1080)
SOUR = Measure("pH", "pH at most 4.6", Fraction("4.6"))
LOOK = Measure("look", "no lumps")


@pytest.mark.parametrize(
    ("text", "unit", "found"),
    [
        ("63", "°C", ("63", "°C")),
        (" 62,5 °C", "°C", ("62,5", "°C")),
        ("145F", "°C", ("145", "F")),
        ("145 º f", "°C", ("145", "º f")),
        ("4.6", "pH", ("4.6", "pH")),
        ("4,6 ph", "pH", ("4,6", "ph")),
        ("-18", "°C", ("-18", "°C")),
        ("warm", "°C", ("warm", "°C")),
        ("", "°C", ("", "°C")),
    ],
)
def test_a_unit_typed_behind_the_number_counts(
    text: str, unit: str, found: tuple[str, str]
) -> None:
    assert typed(text, unit) == found


@pytest.mark.parametrize(
    ("measure", "value", "unit", "at", "verdict"),
    [
        (CORE, "74", "°C", 0, Verdict.FINE),
        (CORE, "73.9", "°C", 0, Verdict.OUT),
        (CORE, "165.2", "°F", 0, Verdict.FINE),  # 74 °C exactly
        (CORE, "165", "°F", 0, Verdict.OUT),  # 73.9 °C
        (SOUR, "4.6", "pH", 0, Verdict.FINE),
        (SOUR, "4.7", "pH", 0, Verdict.OUT),
        (COLD, "5", "°C", 1000, Verdict.FINE),
        (COLD, "21", "°C", 1079, Verdict.NOT_YET),
        (COLD, "21", "°C", 1080, Verdict.OUT),
        (COLD, "4", "°C", 1095, Verdict.FINE),  # a quarter of an hour late is in time
        (COLD, "4", "°C", 1096, Verdict.OUT),
        (LOOK, "3", "°C", 0, Verdict.FINE),
    ],
)
def test_a_reading_is_held_against_its_target(
    measure: Measure, value: str, unit: str, at: int, verdict: Verdict
) -> None:
    found = judged(measure, Fraction(value), unit, at)
    assert found.verdict is verdict
    assert bool(found.said) == (verdict is not Verdict.FINE)


def test_what_was_cold_in_time_may_be_read_again_later() -> None:
    assert judged(COLD, Fraction(3), "°C", 1300, before=True).verdict is Verdict.FINE
    late = judged(COLD, Fraction(3), "°C", 1300)
    assert late.said == (
        "3 °C now, but it was to be 5 °C or colder by 18:00, and nothing shows that it was."
    )


@pytest.mark.parametrize(
    ("measure", "value", "unit", "maybe"),
    [
        (COLD, "41", "°C", " Maybe °F was meant: 41 °F is 5 °C."),
        (COLD, "38", "°C", " Maybe °F was meant: 38 °F is 3 °C."),
        (COLD, "21", "°C", ""),  # 21 °F would be ice
        (COLD, "50", "°C", ""),
        (CORE, "74", "°F", " Maybe °C was meant."),
        (CORE, "60", "°F", ""),
        (SOUR, "5", "pH", ""),
    ],
)
def test_the_other_scale_is_asked_about_only_where_the_figure_would_be_right_on_it(
    measure: Measure, value: str, unit: str, maybe: str
) -> None:
    found = judged(measure, Fraction(value), unit, 2000)
    assert found.verdict is Verdict.OUT
    assert found.said.endswith(f"it is to be {measure.said}.{maybe}")

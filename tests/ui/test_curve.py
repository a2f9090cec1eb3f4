"""A cooling curve on a log: every reading and every limit is on it, in words too."""

from __future__ import annotations

import re
from fractions import Fraction

from scheduler.outputs.log import Curve
from tests.outputs.hut import at, sheets
from ui.phone.curve import HEIGHT, WIDTH, drawn

CURVE = Curve(
    "soup.1/cool", "Soup <b>: cool", at(14),
    ((at(14, 5), Fraction(80)), (at(15), Fraction(40)), (at(16), Fraction(23, 2))),
    ((at(16), Fraction(21)), (at(20), Fraction(5))), None,
)  # fmt: skip


def test_readings_and_limits_stand_on_it_in_words_and_inside_it() -> None:
    text = drawn(sheets().names, CURVE)
    assert re.findall(r">([^<>]+°C[^<>]*)<", text) == [
        "21 °C by 16:00", "5 °C by 20:00", "80 °C", "40 °C", "11.5 °C",
    ]  # fmt: skip
    assert "<b>" not in text
    marks = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', text)
    assert len(marks) == 3
    assert all(0 < float(x) < WIDTH and 0 < float(y) < HEIGHT for x, y in marks)
    across, down = zip(*((float(x), float(y)) for x, y in marks), strict=True)
    assert list(across) == sorted(across)
    assert list(down) == sorted(down), "what is colder is lower"


def test_what_must_get_hot_has_its_least_and_no_moment() -> None:
    hot = Curve("soup.1/boil", "Soup", at(14), ((at(14), Fraction(60)), (at(14), Fraction(80))),
                (), Fraction(74))  # fmt: skip
    text = drawn(sheets().names, hot)
    assert "at least 74 °C" in text
    assert text.count('class="limit"') == 1

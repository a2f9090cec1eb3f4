"""How deep five litres lie decides when they are cold, and that follows from the pan they are in.

Footprints: EN 631-1:1993, as in a maker's table (seen). The standard fixes the outside only, so
what a pan holds is that maker's: 7.4 l at 65 mm and 12.6 l at 100 mm in a 1/1.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from scheduler.domain.cooling import CoolDown
from scheduler.heat.cooling import Window, verdicts
from scheduler.heat.defaults import pans
from tests.heat.limits import FDA
from tests.heat.test_coolings_refused import cooling

# mm, length and width of the rim.
GN = {
    "2/1": (650, 530), "1/1": (530, 325), "2/3": (354, 325), "1/2": (325, 265), "2/4": (530, 162),
    "1/3": (325, 176), "1/4": (265, 162), "1/6": (176, 162), "1/9": (176, 108),
}  # fmt: skip
DEFAULTS = {"gn-" + size.replace("/", "-"): size for size in GN}


def side_by_side(*sizes: str, along: int) -> tuple[int, int]:
    """What some pans cover, one beside the other: added along one side, the most of the other."""
    return sum(GN[s][along] for s in sizes), max(GN[s][1 - along] for s in sizes)


@pytest.mark.parametrize(
    ("sizes", "along", "inside"),
    [
        (("1/2", "1/2"), 1, "1/1"),
        (("2/4", "2/4"), 1, "1/1"),
        (("1/3", "1/3", "1/3"), 1, "1/1"),
        (("2/3", "1/3"), 0, "1/1"),
        (("1/4", "1/4"), 1, "1/2"),
        (("1/4", "1/4"), 0, "2/4"),
        (("1/6", "1/6"), 1, "1/3"),
        (("1/9", "1/9", "1/9"), 1, "1/3"),
        (("1/1", "1/1"), 1, "2/1"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else str(value),
)
def test_pans_of_a_whole_lie_in_it_side_by_side(
    sizes: tuple[str, ...], along: int, inside: str
) -> None:
    """2 x 265 = 530, 3 x 176 = 528, 2 x 162 = 324, 354 + 176 = 530: within 4 mm of the whole.

    The 2/3 and the 1/3 stand one with its length, the other with its width along the 1/1.
    """
    if sizes == ("2/3", "1/3"):
        covered = (GN["2/3"][0] + GN["1/3"][1], max(GN["2/3"][1], GN["1/3"][0]))
    else:
        covered = side_by_side(*sizes, along=along)
    for mine, whole in zip(sorted(covered), sorted(GN[inside]), strict=True):
        assert 0 <= whole - mine <= 4


def test_a_baking_sheet_of_half_size_does_not_run_where_a_pan_does() -> None:
    """A half sheet is 18 x 13 inches (457 x 330 mm): 5 mm too wide for a 325 mm runner, and a
    full one (457 x 660) lies in no 650 x 530: families of trays do not mix (`holds`)."""
    assert round(18 * 25.4) == 457 and round(13 * 25.4) == 330
    assert 330 - GN["1/1"][1] == 5
    assert sorted((457, 660))[1] > sorted(GN["2/1"])[1]


@pytest.mark.parametrize("pan", pans())
def test_a_litre_lies_deeper_than_its_footprint_says(pan: str) -> None:
    """Walls, corners and a slant: the inside is smaller than the rim, yet more than half of it."""
    length, width = GN[DEFAULTS[pan]]
    outside = Fraction(length * width, 1000)  # ml a mm
    assert outside / 2 < pans()[pan].mm_holds < outside


@pytest.mark.parametrize("pan", pans())
def test_a_part_of_a_pan_is_never_taken_to_be_wider_than_that_part(pan: str) -> None:
    """A third of a 1/1 has more wall to it than a 1/1, so that a litre in three of them lies
    deeper. With litres rounded to a quarter, small pans are off by as much as 42 %, always to the
    deeper and slower side."""
    over, under = (int(n) for n in DEFAULTS[pan].split("/"))
    whole = pans()["gn-1-1"].mm_holds * Fraction(over, under)
    assert whole / 2 < pans()[pan].mm_holds <= whole


def lies(litres: str, pan: str = "gn-1-1") -> Fraction:
    return CoolDown.model_validate(
        {"from": "57 °C", "to": "5 °C", "by": "walk-in-fan", "food": "soup", "pan": pan,
         "each": litres}
    ).across  # fmt: skip


def test_five_litres_lie_34_mm_deep_and_a_pan_of_65_mm_is_over_the_guideline() -> None:
    """(12.6 - 7.4) / 35 = 0.149 l/mm: 5 l are 33.7 mm, 7.4 l about the 50 mm of the guideline."""
    assert lies("5 l") == 34
    assert float(pans()["gn-1-1"].mm_holds) == pytest.approx(148.6, abs=0.05)
    assert lies("7.4 l") == 50


def test_what_lies_over_fifty_mm_deep_is_not_cold_in_time_in_a_fridge_with_a_fan() -> None:
    """50 mm, both faces, air 3 °C, film 20: 21 °C after 2.17 h, 5 °C after 6.12 h (computed), so
    FDA Food Code 3-501.14(A) is missed; in a second pan, at half the depth, it is met."""
    def met(litres: str) -> list[bool]:
        here = cooling(across=float(lies(litres)), start=57, air=3, film=20)
        return [one.met for one in verdicts(here, FDA)]

    assert met("7.4 l") == [False, False]
    assert met("3.7 l") == [True, True]
    assert Window(57, 21, 120) in FDA

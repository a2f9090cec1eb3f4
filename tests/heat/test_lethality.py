"""Holding times between the rows of a published table, and what stands behind them.

Table: FSIS (USDA), Appendix A to the compliance guideline, cooked and roast beef, 6.5 log of
Salmonella; its own rows for whole roasts are in the FDA Food Code, 3-401.11(B)(2), every second
one left out there. Kinetics: Baldwin 2012, International Journal of Gastronomy and Food Science
1, 15-30 (second hand).
"""

from __future__ import annotations

from itertools import pairwise
from math import log10

import pytest

from scheduler.domain.profiles import profile
from scheduler.heat.lethality import Row, held_for

# °F, and the minutes or seconds beside it in the column of 6.5 log.
FSIS = {
    130: 112 * 60, 131: 89 * 60, 132: 71 * 60, 133: 56 * 60, 134: 45 * 60, 135: 36 * 60,
    136: 28 * 60, 137: 23 * 60, 138: 18 * 60, 139: 15 * 60, 140: 12 * 60, 141: 9 * 60, 142: 8 * 60,
    143: 6 * 60, 144: 5 * 60, 145: 4 * 60, 146: 169, 147: 134, 148: 107, 149: 85, 150: 67, 151: 54,
    152: 43, 153: 34, 154: 27, 155: 22, 156: 17, 157: 14,
}  # fmt: skip
SHARED = (130, 131, 133, 135, 136, 138, 140, 142, 144, 145, 147, 149, 151, 153, 155, 157)
"""Those that the Food Code has as well."""


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def code() -> list[Row]:
    """The Food Code's table, as the profile has it."""
    roasts = profile("us").food.roasts
    assert roasts is not None
    return [(float(row.core), row.seconds) for row in roasts.rows]


def test_the_food_code_has_the_rows_of_the_department_of_agriculture() -> None:
    rows = code()
    assert len(rows) == len(SHARED) + 1
    for fahrenheit, (at, seconds) in zip(SHARED, rows, strict=False):
        assert at == pytest.approx(celsius(fahrenheit), abs=0.06)
        assert seconds == FSIS[fahrenheit]
    assert rows[-1] == (70.0, 0)


def test_the_slope_of_the_table_is_that_of_salmonella() -> None:
    """z, the degrees for a tenth of the time, by least squares: 10 °F."""
    points = [(celsius(f), log10(s)) for f, s in FSIS.items()]
    middle = [sum(p[i] for p in points) / len(points) for i in (0, 1)]
    slope = sum((x - middle[0]) * (y - middle[1]) for x, y in points) / sum(
        (x - middle[0]) ** 2 for x, _ in points
    )
    assert 5.5 < -1 / slope < 5.8


def test_between_its_rows_the_left_out_ones_are_met_better_by_logarithm_than_straight() -> None:
    rows = [(celsius(f), FSIS[f]) for f in SHARED]
    curved = straight = 0.0
    for fahrenheit in sorted(set(FSIS) - set(SHARED)):
        at, true = celsius(fahrenheit), FSIS[fahrenheit]
        found = held_for(rows, at)
        assert found is not None and found == pytest.approx(true, rel=0.10)
        (a, long), (b, short) = next(
            (x, y) for x, y in pairwise(rows) if x[0] < at < y[0]
        )
        curved += abs(found / true - 1)
        straight += abs((long + (at - a) / (b - a) * (short - long)) / true - 1)
    assert curved < straight


def test_nothing_is_enough_below_the_table_and_an_instant_is_from_seventy_degrees_on() -> None:
    rows = code()
    assert held_for(rows, 54.3) is None
    assert held_for(rows, 54.4) == 112 * 60
    assert held_for(rows, 69.9) == 14
    assert held_for(rows, 70.0) == held_for(rows, 75.0) == 0
    times = [held_for(rows, 54.4 + n / 10) for n in range(157)]
    assert times == sorted(times, key=lambda t: -(t or 0))


def kinetics(at: float) -> dict[str, float]:
    """Minutes for the log reductions of Baldwin 2012 at an even temperature."""
    known = {"E. coli": (5.0, 19.35, 4.87), "Salmonella": (6.5, 13.18, 7.58),
             "Listeria": (6.0, 12.66, 9.22)}  # fmt: skip
    return {name: logs * d * 10 ** ((55 - at) / z) for name, (logs, d, z) in known.items()}


def test_what_decides_changes_from_e_coli_to_listeria_between_55_and_60_degrees() -> None:
    cool, warm = kinetics(55), kinetics(60)
    assert max(cool, key=lambda name: cool[name]) == "E. coli"
    assert max(warm, key=lambda name: warm[name]) == "Listeria"
    assert max(cool.values()) == pytest.approx(96.8, abs=0.1)
    assert max(warm.values()) == pytest.approx(21.8, abs=0.1)


def test_two_sources_agree_on_salmonella_at_55_degrees() -> None:
    """89 min by the table, 86 by the kinetics: within 4 %."""
    table = held_for(code(), 55.0)
    assert table is not None
    assert table / 60 == pytest.approx(kinetics(55)["Salmonella"], rel=0.04)

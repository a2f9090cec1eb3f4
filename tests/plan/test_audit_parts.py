"""The small parts of the second reader against plain counting and against other libraries."""

from __future__ import annotations

import ast
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

import scheduler.plan.audit as package
from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import Component, Time
from scheduler.plan.audit.amounts import length, measure
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.menu import in_waves
from scheduler.plan.audit.stretches import common, inside, merged, outside, without
from scheduler.plan.audit.sweep import Span, overfull
from tests.plan.byhand import component, event, step, week

STRETCHES = st.lists(
    st.tuples(st.integers(0, 40), st.integers(1, 12)).map(lambda p: (p[0], p[0] + p[1])), max_size=8
)


def minutes(stretches: list[tuple[int, int]]) -> set[int]:
    return {m for a, b in stretches for m in range(a, b)}


@given(STRETCHES, STRETCHES)
def test_stretches_are_sets_of_minutes(
    one: list[tuple[int, int]], other: list[tuple[int, int]]
) -> None:
    a, b = merged(one), merged(other)
    assert minutes(a) == minutes(one)
    assert all(x[1] < y[0] for x, y in pairwise(a))
    assert minutes(without(a, b)) == minutes(a) - minutes(b)
    assert minutes(common(a, b)) == minutes(a) & minutes(b)


@given(STRETCHES, st.integers(0, 50), st.integers(1, 10))
def test_somebody_is_there_all_the_time_or_is_missed_from_some_minute(
    stretches: list[tuple[int, int]], start: int, lasts: int
) -> None:
    there, wanted = merged(stretches), set(range(start, start + lasts))
    assert inside(there, start, start + lasts) == (wanted <= minutes(there))
    gone = outside(there, start, start + lasts)
    assert (gone is None) == (wanted <= minutes(there))
    if gone is not None:
        assert gone[0] == min(wanted - minutes(there))


@given(
    st.lists(st.tuples(st.integers(0, 30), st.integers(0, 10), st.integers(1, 4)), max_size=12),
    st.integers(0, 8),
)
def test_overfull_is_what_counting_every_minute_finds(
    taken: list[tuple[int, int, int]], capacity: int
) -> None:
    spans = [Span(a, a + n, amount, str(i)) for i, (a, n, amount) in enumerate(taken)]
    profile = np.zeros(64, dtype=int)
    for span in spans:
        profile[span.start : span.end] += span.amount
    full = overfull(spans, capacity)
    found = {m for o in full for m in range(o.start, o.end)}
    assert found == set(np.flatnonzero(profile > capacity))
    for one in full:
        assert one.most == profile[one.start : one.end].max()


def test_a_conversion_goes_by_piece_weight_and_density_and_no_other_way() -> None:
    # Independent: pint, with the density of the recipe as a plain quotient.
    units = pint.UnitRegistry()
    oil = Component.model_validate(
        component("oil", step(), makes="1 l", density="920 g", piece_weight="46 g")
    )
    grams = (units("1.5 l") * units("920 g/l")).to("g").magnitude
    assert measure(Quantity.parse("1.5 l"), Dimension.MASS, oil) == pytest.approx(grams)
    assert measure(Quantity.parse("1.5 l"), Dimension.COUNT, oil) == 30
    assert measure(Quantity.parse("30 pieces"), Dimension.VOLUME, oil) == 1500
    plain = Component.model_validate(component("salt", step()))
    assert measure(Quantity.parse("1.5 l"), Dimension.MASS, plain) is None
    assert measure(Quantity.parse("1 piece"), Dimension.MASS, plain) is None
    assert measure(Quantity.parse("1.5 kg"), Dimension.COUNT, None) is None


def test_a_law_grows_with_the_quantity_and_its_range_with_it() -> None:
    # 20 min and 3 min for every 2 kg, of 7 kg: 20 + 10.5, so 31; range 31 to 51.
    time = Time.model_validate(
        {
            "at_least": "20 min",
            "best": "25 min",
            "at_most": "40 min",
            "plus": "3 min",
            "per": "2 kg",
        }
    )
    found = length(time, Quantity.parse("7 kg"), None)
    assert (found.least, found.best, found.most) == (31, 36, 51)


@given(st.integers(1, 5000), st.lists(st.integers(1, 9), min_size=1, max_size=6))
def test_waves_never_lose_a_portion(portions: int, parts: list[int]) -> None:
    total = sum(parts)
    waves = [{"after": "0 min", "share": "100 %"}]
    course = week(events=[event({"dish": "bowl", "waves": waves})]).week.events[0].menu[0]
    many = course.model_copy(
        update={
            "waves": tuple(
                course.waves[0].model_copy(
                    update={"share": type(course.waves[0].share)(Fraction(p, total))}
                )
                for p in parts
            )
        }
    )
    split = in_waves(portions, many)
    assert sum(split) == portions
    assert all(n >= 0 for n in split)


@pytest.mark.parametrize(
    ("length_", "words"),
    [
        (0, "0 min"),
        (1570, "26 h 10 min"),
        (1440, "24 h"),
        (5760, "4 d"),
        (5830, "4 d 1 h 10 min"),
        (-65, "-1 h 5 min"),
    ],
)
def test_lengths_read_as_a_cook_says_them(length_: int, words: str) -> None:
    assert lasting(length_) == words


def test_the_second_reader_shares_no_code_with_planning() -> None:
    allowed = ("scheduler.domain", "scheduler.plan.model", "scheduler.plan.audit")
    for file in Path(package.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [a.name for a in node.names] if isinstance(node, ast.Import) else []
            for name in names:
                ours = name.split(".")[0] == "scheduler"
                assert not ours or name.startswith(allowed), f"{file.name} imports {name}"

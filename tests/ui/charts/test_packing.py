"""Bars never lie on one another, and never so many that the screen stands still."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ui.charts.bars import KINDS, Bar
from ui.charts.letters import cut, wide
from ui.charts.packing import drawn, joined, lines
from ui.charts.rows import Row

SPANS = st.lists(
    st.tuples(st.integers(0, 500), st.integers(1, 200)).map(lambda s: (s[0], s[0] + s[1])),
    max_size=60,
)
BARS = st.lists(
    st.builds(
        lambda kind, start, long: Bar(kind, start, start + long, "x", ()),
        st.sampled_from(list(KINDS)), st.integers(0, 9000), st.integers(1, 3000),
    ),
    max_size=80,
)  # fmt: skip


@given(SPANS)
def test_no_bar_hides_another(spans: list[tuple[int, int]]) -> None:
    line = lines(spans)
    for i, (a, b) in enumerate(spans):
        for j in range(i):
            c, d = spans[j]
            assert line[i] != line[j] or b <= c or d <= a


@given(SPANS)
def test_a_row_is_no_taller_than_what_happens_at_once(spans: list[tuple[int, int]]) -> None:
    most = max((sum(a <= m < b for a, b in spans) for m, _ in spans), default=0)
    assert max(lines(spans), default=-1) + 1 == most


@given(BARS, st.integers(0, 600))
def test_joining_loses_no_job_and_mixes_no_kinds(bars: list[Bar], grain: int) -> None:
    found = joined(bars, grain)
    assert sorted((b for s in found for b in s.bars), key=id) == sorted(bars, key=id)
    for one in found:
        assert {b.kind for b in one.bars} == {one.kind}
        assert one.start == min(b.start for b in one.bars)
        assert one.end == max(b.end for b in one.bars)


def test_on_one_day_every_job_is_a_bar_of_its_own() -> None:
    bars = [Bar("hands", 5 * n, 5 * n + 5, "x", ()) for n in range(40)]
    assert len(joined(bars, 0)) == 40


def test_a_thousand_bars_are_drawn_at_most_however_large_the_week() -> None:
    week = [
        Row(str(r), "row", tuple(Bar("hands", 60 * n, 60 * n + 30, "x", ()) for n in range(264)))
        for r in range(60)
    ]
    found, left_out = drawn(week, 60)
    assert left_out == 0
    assert 60 <= sum(len(s) for _, s in found) <= 1000
    assert sum(len(s.bars) for _, stretches in found for s in stretches) == 60 * 264


def test_rows_that_find_no_room_are_counted() -> None:
    week = [Row(str(r), "row", (Bar("hands", 0, 30, "x", ()),)) for r in range(12)]
    found, left_out = drawn(week, 0, most=10)
    assert (len(found), left_out) == (10, 2)


@given(st.text(max_size=80), st.floats(0, 400))
def test_text_is_never_wider_than_its_bar(text: str, room: float) -> None:
    assert wide(cut(text, room)) <= room

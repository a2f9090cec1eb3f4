"""The chart can be read: text stays in its place, names stand as they are, clicks find the job."""

from __future__ import annotations

import json
from datetime import date, datetime
from itertools import pairwise

import pytest

from scheduler.plan.words import Names
from tests.scenarios.planned import demo, plan
from tests.ui.charts.test_window import week
from ui.charts.bars import Bar
from ui.charts.figure import PALE, PATTERNS, figure
from ui.charts.frame import WIDTH
from ui.charts.letters import wide
from ui.charts.rows import ROWS, By, Row, rows_of
from ui.charts.window import LENGTHS, Length, window
from ui.palette import DARK, LIGHT

ODD = "<b>Soup</b> [x](y) $5 :material/x: " + "很长的名字" * 60


@pytest.mark.parametrize("by", ROWS)
@pytest.mark.parametrize("length", LENGTHS)
def test_no_text_is_clipped_at_1440_px(by: By, length: Length) -> None:
    names = Names(demo(), plan())
    looked = window(demo().clock, length, date(2026, 12, 12))
    fig = figure(names, rows_of(names, by), looked, LIGHT)
    left, right = fig.layout.margin.l, fig.layout.margin.r
    scale = (WIDTH - left - right) / (looked.days * 86_400_000)
    origin = datetime(looked.first.year, looked.first.month, looked.first.day)
    bars = 0
    for trace in fig.data:
        spots = []
        for base, long, y, text, where in zip(
            trace.base, trace.x, trace.y, trace.text, trace.textposition, strict=True
        ):
            bars += 1
            start = (datetime.fromisoformat(base) - origin).total_seconds() * 1000 * scale
            room = wide(text.replace("&amp;", "&"))
            if text and where == "inside":
                assert room <= long * scale
            end = start + long * scale + (room if text and where == "outside" else 0)
            assert start >= 0 and end <= WIDTH - left - right + 1
            spots.append((y, start, end))
        spots.sort()
        for (y, _, end), (other, start, _) in pairwise(spots):
            assert y != other or end <= start + 1
    assert 0 < bars <= 1000


def test_a_click_finds_the_job_or_the_day() -> None:
    names = Names(demo(), plan())
    fig = figure(
        names, rows_of(names, "section"), window(demo().clock, "day", date(2026, 12, 11)), LIGHT
    )
    hands = next(t for t in fig.data if t.name == "hands at work")
    assert {task for task, _ in hands.customdata} <= set(names.tasks)
    assert {day for _, day in hands.customdata} == {"2026-12-11"}


def test_kinds_of_bar_are_told_apart_without_colour() -> None:
    # What has no pattern is either dark and solid or pale with an outline.
    told = {kind: (PATTERNS[kind], kind in PALE) for kind in PATTERNS}
    assert len(set(told.values())) == len(PATTERNS)


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_names_that_look_like_markup_stand_as_they_are(palette: object) -> None:
    scenario = week("2026-10-24 00:00", "2026-10-24 06:00", "2026-10-26 00:00")
    names = Names(scenario, plan())
    bar = Bar("hands", 600, 900, ODD, (ODD,), task="t")
    fig = figure(
        names, [Row("r", ODD, (bar,))], window(scenario.clock, "day", date(2026, 10, 24)), palette
    )
    text = json.dumps(fig.to_dict(), default=str)
    assert "<b>Soup" not in text
    assert "&lt;b&gt;Soup&lt;/b&gt;" in text
    assert fig.layout.margin.l < 200


def test_a_bar_that_the_autumn_night_turns_round_is_still_there_to_be_clicked() -> None:
    scenario = week("2026-10-24 00:00", "2026-10-24 06:00", "2026-10-26 00:00")
    at = scenario.clock.minute(datetime(2026, 10, 25)) + 170  # the first 02:50
    bar = Bar("hands", at, at + 20, "Fold", (), task="t")  # to the second 02:10
    looked = window(scenario.clock, "day", date(2026, 10, 25))
    fig = figure(Names(scenario, plan()), [Row("r", "R", (bar,))], looked, LIGHT)
    hands = fig.data[0]
    assert hands.base == ("2026-10-25T02:50",)
    assert hands.x[0] >= 15 * 60_000
    assert "20 min" in hands.hovertext[0]


def test_the_present_moment_and_the_services_are_lines_and_the_night_is_shaded() -> None:
    names = Names(demo(), plan())
    looked = window(demo().clock, "day", date(2026, 12, 12))
    now = demo().clock.minute(datetime(2026, 12, 12, 10))
    fig = figure(names, rows_of(names, "section"), looked, LIGHT, now)
    said = [note.text for note in fig.layout.annotations]
    assert "now 10:00" in said
    assert any("Gala" in text for text in said)
    assert any(s.type == "rect" and s.fillcolor == LIGHT.night for s in fig.layout.shapes)
    assert any(s.x0 == "2026-12-12T10:00:00" and s.line.color == LIGHT.now
               for s in fig.layout.shapes)  # fmt: skip


def test_a_week_with_nothing_on_a_day_draws_an_empty_chart() -> None:
    names = Names(demo(), plan())
    fig = figure(names, [], window(demo().clock, "day", date(2026, 12, 3)), LIGHT)
    assert sum(len(t.x or ()) for t in fig.data) == 0


@pytest.mark.parametrize("day", demo().clock.days(0))
def test_no_word_on_a_day_is_cut_in_the_middle(day: date) -> None:
    names = Names(demo(), plan())
    fig = figure(names, rows_of(names, "section"), window(demo().clock, "day", day), LIGHT)
    whole = [b.name for row in rows_of(names, "section") for b in row.bars]
    shown = [t.replace("&amp;", "&") for trace in fig.data for t in trace.text or () if t]
    assert shown or day == demo().clock.days(0)[-1]
    for text in shown:
        kept = text.removesuffix("…")
        behind = [name[len(kept) :] for name in whole if name.startswith(kept)]
        assert any(not rest or not (rest[0].isalnum() or rest[0] == "-") for rest in behind), text

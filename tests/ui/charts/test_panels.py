"""Steps over time: the limit is there to be seen, and what is beyond it is said in words."""

from __future__ import annotations

from datetime import date

import pytest

from scheduler.plan.load import Load, hands, settings, shelves, steps
from scheduler.plan.words import Names
from tests.scenarios.planned import demo, plan
from ui.charts.frame import PHONE
from ui.charts.panels import loads, ovens, peak, said
from ui.charts.window import LENGTHS, Length, window
from ui.palette import DARK, LIGHT


def names() -> Names:
    return Names(demo(), plan())


def load(taken: int, there: int) -> Load:
    return Load("x", "Walk-in", steps([(100, 200, taken)]), steps([(0, 9000, there)]))


def test_the_tightest_moment_is_said_above_its_panel() -> None:
    looked = window(demo().clock, "day", date(2026, 12, 3))
    assert said(names(), load(47, 54), looked, "shelves") == (
        "Walk-in: tightest Thu 3 Dec 01:40, 47 of 54 shelves"
    )
    assert said(names(), load(56, 54), looked, "shelves").endswith(": 2 too many")
    assert said(names(), load(0, 54), looked, "shelves") == "Walk-in: nothing"
    assert said(names(), load(47, 54), looked, "shelves", PHONE) == "Walk-in: 47 of 54"


def test_the_tightest_moment_is_looked_for_in_the_window_only() -> None:
    later = window(demo().clock, "day", date(2026, 12, 5))
    assert peak(load(47, 54), later) is None
    begun = Load("x", "X", steps([(0, 9000, 3)]), steps([(0, 9000, 5)]))
    found = peak(begun, later)
    assert found is not None
    assert (found.minute, found.taken, found.there) == (later.start, 3, 5)


@pytest.mark.parametrize("length", LENGTHS)
def test_each_store_has_its_steps_and_its_limit(length: Length) -> None:
    looked = window(demo().clock, length, date(2026, 12, 11))
    fig = loads(names(), shelves(names()), looked, LIGHT, "shelves", 0)
    stores = len(demo().kitchen.stores)
    assert len(fig.data) == 3 * stores
    limits = [t for t in fig.data if t.line.color == LIGHT.now]
    assert len(limits) == stores
    for trace in limits:
        assert len(set(trace.y)) == 1  # the shelves of a store are the same all week
    text = " ".join(t for trace in fig.data for t in trace.hovertext or ())
    assert "of 88 shelves" in text


def test_each_section_and_everybody_has_a_panel() -> None:
    looked = window(demo().clock, "day", date(2026, 12, 12))
    fig = loads(names(), hands(names()), looked, DARK, "pairs of hands", 0)
    told = [note.text for note in fig.layout.annotations]
    assert any(text.startswith("Everybody: ") for text in told)
    for section in demo().kitchen.sections:
        name = section.name or section.id
        assert any(text.startswith(f"{name}: ") for text in told), name


def test_each_oven_shows_its_settings_as_text_or_beside_the_pointer() -> None:
    looked = window(demo().clock, "day", date(2026, 12, 11))
    fig = ovens(names(), settings(names()), looked, LIGHT, 0)
    told = " ".join(t for trace in fig.data for t in trace.hovertext)
    shown = [t for trace in fig.data for t in trace.text]
    for every in settings(names()).values():
        for one in every:
            if one.start < looked.end and one.end > looked.start:
                assert f"{one.celsius} °C {one.mode}" in told
    assert any(shown)

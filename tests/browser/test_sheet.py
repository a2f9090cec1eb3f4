"""A cook with a phone: signs in, does, measures, corrects; the line goes and comes back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

pytest.importorskip("streamlit")
pytest.importorskip("playwright")

from tests.browser.conftest import PHONE, Visit, scrolls_sideways
from tests.browser.cooking import CUT, signed_in, three_came, ticks_three
from tests.browser.line import Line, line
from tests.ui.phone import Hut, hut, stock

if TYPE_CHECKING:
    from playwright.sync_api import Page


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Hut]:
    stock(tmp_path)
    with hut(tmp_path) as one:
        yield one


@pytest.fixture
def wire(kitchen: Hut) -> Iterator[Line]:
    with line(kitchen.port) as one:
        yield one


def works(kitchen: Hut, page: Page) -> None:
    """Tick a job, measure out of tolerance, say what was done, correct it."""
    page.locator("section.job").get_by_role("button", name="Done").click()
    page.get_by_text("Entered: Barley soup, fill: done.").wait_for()
    assert not scrolls_sideways(page)
    now = page.locator("section.job")
    now.get_by_text("probe and lift out").first.wait_for()
    now.locator("[name=m0]").fill("68,5")
    now.get_by_role("button", name="Done").click()
    done = now.get_by_label("What was done about it?")
    done.wait_for()
    assert [e.kind for e in kitchen.record()] == ["done"]
    done.fill("heated on to 75")
    now.get_by_role("button", name="Done").click()
    page.get_by_text("core 68.5 °C; heated on to 75").first.wait_for()
    page.locator("details.over > summary", has_text="probe and lift out").first.click()
    page.get_by_role("link", name="Correct it").first.click()
    page.get_by_label("Why").fill("wrong pot")
    page.get_by_role("button", name="It was not so").click()
    page.get_by_text("Corrected: it was not so: wrong pot").wait_for()
    found = [(e.kind, e.who, e.corrects is not None) for e in kitchen.record()]
    assert found == [
        ("done", "ada", False), ("measured", "ada", False), ("done", "ada", False),
        ("note", "ada", True),
    ]  # fmt: skip


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_a_cook_signs_in_does_measures_out_of_tolerance_and_corrects(
    kitchen: Hut, wire: Line, visit: Visit, script: bool
) -> None:
    page = visit(f"{wire.address}/sign-in", expected=CUT, java_script_enabled=script, **PHONE)
    signed_in(kitchen, page, wire.address)
    works(kitchen, page)


def test_three_ticks_without_a_line_come_once_each_with_both_times(
    kitchen: Hut, wire: Line, visit: Visit
) -> None:
    page = visit(f"{wire.address}/sign-in", expected=CUT, **PHONE)
    page.clock.install(time=kitchen.clock.at)
    signed_in(kitchen, page, wire.address)
    wire.cut()
    pressed = kitchen.clock.at
    ticks_three(page)
    assert kitchen.record() == ()
    page.clock.fast_forward("40:00")
    kitchen.clock.set(15, 1)
    wire.mend()
    page.clock.fast_forward("01:00")
    three_came(kitchen, page)
    for one in kitchen.record():
        assert one.arrived == kitchen.clock.at
        assert timedelta(0) <= one.happened - pressed < timedelta(minutes=2)

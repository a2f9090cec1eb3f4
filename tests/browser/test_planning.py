"""Counts change and the week is planned anew; a search is stopped, and outlives a reload."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.acting import choose_from, go, type_in
from tests.browser.conftest import SEARCH, Visit, settled
from tests.browser.opened import Opened, opened

RELOADED = "status of 404"
"""Streamlit asks for its settings below the page's own address first when a page is reloaded."""


def test_more_guests_are_typed_in_saved_and_planned_for(planned: Opened, visit: Visit) -> None:
    page = settled(visit(planned.address))
    page.get_by_text("40 guests: served").wait_for()
    go(page, "Menu")
    type_in(page, "Events, and how many come", 0, "Guests", "60")
    page.get_by_text("Changed and not saved yet.").wait_for()
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_text("Saved as revision 2").wait_for()

    go(page, "Week")
    page.get_by_text("40 guests: served").wait_for()
    page.get_by_text("Changed since plan 1, on the wall").wait_for()
    page.get_by_role("button", name="How long").click()
    choose_from(page, "Search for", "10 seconds")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Plan anew").click()
    page.get_by_text("60 guests: served").wait_for(timeout=SEARCH)
    page.wait_for_url(re.compile(r"plan=[23]"))


@pytest.fixture
def first(tmp_path: Path) -> Iterator[Opened]:
    """The app after its first start, for a test that changes it."""
    pytest.importorskip("streamlit")
    with opened(tmp_path, "--port", "0") as app:
        yield app


def test_a_search_outlives_a_reload_and_stopping_it_keeps_the_best(
    first: Opened, visit: Visit
) -> None:
    page = settled(visit(first.address, expected=RELOADED))
    page.get_by_role("button", name="How long").click()
    choose_from(page, "Search for", "15 minutes")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Plan anew").click()
    better = re.compile(r"Plan 2 is here and gets better, .* of 900")
    page.get_by_text(better).wait_for(timeout=SEARCH)

    page.reload()
    page.get_by_text(better).wait_for()
    page.get_by_role("button", name="Stop, and keep the best").click()
    page.get_by_role("button", name="Plan anew").wait_for(timeout=SEARCH)
    go(page, "Plans")
    page.get_by_text("Side by side").wait_for()
    page.get_by_text(re.compile(r"breaks no rule, every event is served")).wait_for()
    assert "Traceback" not in first.told


def test_a_server_killed_while_planning_has_kept_the_first_plan_and_plans_anew_when_opened_again(
    first: Opened, visit: Visit
) -> None:
    page = settled(visit(first.address))
    page.get_by_role("button", name="How long").click()
    choose_from(page, "Search for", "15 minutes")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Plan anew").click()
    page.get_by_text("Plan 2 is here and gets better").wait_for(timeout=SEARCH)
    page.goto("about:blank")
    first.process.kill()
    first.process.wait()

    with opened(first.folder, "--port", "0") as again:
        page = settled(visit(again.address))
        assert "1 search had ended without a word: noted." in again.told
        go(page, "Plans")
        page.get_by_text("All of them").wait_for()
        page.get_by_role("combobox", name="Plan", exact=True).click()
        page.get_by_role("option", name=re.compile("^Plan 2, ")).click()
        page.get_by_role("heading", name="Plan 2", exact=True).wait_for()
        settled(page)  # the list of plans has closed, which a press in the same moment only does
        page.get_by_role("button", name="Plan anew").click()
        page.wait_for_url(re.compile(r"plan=[34]"), timeout=SEARCH)
        page.goto("about:blank")
        assert "Traceback" not in again.told

"""What a user does with the mouse and the keyboard, on pages that draw what they show."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tests.browser.conftest import LAPSE, settled

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

MARKERS = 60
"""Pixels from a table's left edge that are in its first column, past the boxes that mark rows."""
HEAD, LINE = 35, 35
"""Pixels of a table's head and of each of its rows."""
TRIES = 100
AGAIN = 5


def go(page: Page, title: str) -> Page:
    """Open a page by its name in the navigation."""
    page.get_by_role("link", name=title, exact=True).click()
    page.wait_for_url(re.compile(rf"/{title.lower()}(\?|$)" if title != "Week" else r"/(\?|$)"))
    return settled(page)


def bar(page: Page, name: str) -> None:
    """Click the first bar of the chart in which a name stands."""
    there = page.locator(
        ".js-plotly-plot .barlayer .point", has=page.locator("text", has_text=name)
    )
    there.first.wait_for()
    there.first.scroll_into_view_if_needed()
    box = there.first.locator("path").bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.wait_for_timeout(300)  # as a hand; a chart takes no click of what it has not seen come
    page.mouse.down()
    page.mouse.up()


def table(page: Page, label: str) -> Locator:
    """A table by what it is called."""
    return page.get_by_role("region", name=label, exact=True)


def cell(page: Page, label: str, row: int, column: str) -> Locator:
    """A cell of a table, the first row being 0; as readers of screens have it."""
    there = table(page, label)
    there.scroll_into_view_if_needed()
    head = there.locator("[role=columnheader]")
    head.first.wait_for(state="attached")
    place = head.all_text_contents().index(column)
    return there.locator("[role=row]").nth(row + 1).locator("[role=gridcell]").nth(place)


def add_row(page: Page, label: str) -> None:
    """Add a row to a table: a click on the empty one at its end."""
    there = table(page, label)
    there.scroll_into_view_if_needed()
    grid = there.locator("table[role=grid]")
    count = int(grid.get_attribute("aria-rowcount") or 0)
    for _ in range(TRIES):
        settled(page)
        box = there.bounding_box()
        assert box
        page.mouse.click(box["x"] + MARKERS, box["y"] + HEAD + LINE * (count - 2) + LINE / 2)
        for _ in range(10):  # a second click too early would add a second row
            page.wait_for_timeout(LAPSE / TRIES)
            if int(grid.get_attribute("aria-rowcount") or 0) > count:
                return
    raise AssertionError(f"no row was added to {label}")


def type_in(page: Page, label: str, row: int, column: str, text: str) -> None:
    """Type into a cell of a table, and leave it; again where the table was just drawn anew."""
    there = cell(page, label, row, column)
    there.wait_for(state="attached")
    before = there.text_content()
    for _ in range(AGAIN):
        _type_once(page, label, row, column, text)
        for _ in range(AGAIN):
            if before == text or cell(page, label, row, column).text_content() != before:
                return
            page.wait_for_timeout(LAPSE / TRIES)
    raise AssertionError(f"{column} of {label} still says {before}")


def _type_once(page: Page, label: str, row: int, column: str, text: str) -> None:
    there = table(page, label)
    head = there.locator("[role=columnheader]").all_text_contents()
    named = [h for h in head if h]
    # The cell's own field, or what is typed before it is there is lost.
    field = page.locator("#portal textarea, #portal input")
    for _ in range(TRIES):
        settled(page)
        box = there.bounding_box()
        assert box
        # Not on the canvas itself: what scrolls it lies over it.
        page.mouse.click(box["x"] + MARKERS, box["y"] + HEAD + LINE * row + LINE / 2)
        for _ in range(named.index(column)):
            page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")
        page.wait_for_timeout(LAPSE / TRIES)
        if field.count():
            break
        page.keyboard.press("Escape")  # it was just being drawn anew
    field.fill(text)
    field.press("Enter")
    field.wait_for(state="detached")


def fill(page: Page, label: str, text: str) -> None:
    """Type into a field of a page, and leave it."""
    field = page.get_by_label(label, exact=True)
    field.fill(text)
    field.press("Tab")


def choose_from(page: Page, label: str, option: str) -> None:
    """Choose something in a list that folds out."""
    page.get_by_role("combobox", name=label).last.click()  # what has folded out lies last
    page.get_by_role("option", name=option, exact=True).click()

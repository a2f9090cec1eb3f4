"""Guests of an organiser's table in the browser: a mistake at its cell, corrected, kept."""

from __future__ import annotations

import pytest

from tests.browser.conftest import DESK, PHONE, Visit, scrolls_sideways, settled
from tests.browser.opened import Opened

LINKED = "status of 404"
"""Streamlit asks for its settings below the page's own address first."""


@pytest.mark.parametrize("window", [DESK, PHONE], ids=["desk", "phone"])
def test_guests_are_pasted_on_the_menu_a_mistake_is_told_at_its_cell_corrected_and_kept(
    planned: Opened, visit: Visit, window: dict[str, object]
) -> None:
    page = settled(visit(f"{planned.address}/menu", expected=LINKED, **window))
    page.get_by_text("Guests from a spreadsheet", exact=True).click()
    cells = page.get_by_label("Copied cells of guests, with their headings")
    look = page.get_by_role("button", name="See what it changes").first
    cells.fill("Event\tGuests\nsupper\t120.5")
    look.click()
    page.get_by_text("B2: '120.5' is no whole number").wait_for()
    assert not scrolls_sideways(page)
    cells.fill("Event\tGuests\nsupper\t64")
    cells.press("Tab")
    page.get_by_text("is no whole number").wait_for(state="detached")
    look.click()
    page.get_by_text("event supper, guests: 40").wait_for()
    assert not scrolls_sideways(page)
    page.get_by_role("button", name="Put it in").press("Enter")
    page.get_by_text("The guests are in. Look at them, then save.").wait_for()
    assert cells.input_value() == ""
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_text("Saved as revision 2").wait_for()

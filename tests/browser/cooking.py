"""What a cook does with a phone before a sheet, and what the record has then."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from scheduler.book.codes import make_code
from scheduler.book.role import Role
from tests.book.hut import CHEF
from tests.ui.phone import SECTION, Hut

if TYPE_CHECKING:
    from playwright.sync_api import Page

CUT = r"ERR_CONNECTION|ERR_EMPTY_RESPONSE|ERR_SOCKET|status of 4|ERR_SSL|ERR_FAILED"
"""What Chromium's console says while the line is cut, or a form comes back."""


def signed_in(kitchen: Hut, page: Page, address: str) -> None:
    """Give a code, as on a tablet on the wall."""
    code = make_code(kitchen.book, CHEF, "ada", Role.COOK)
    page.goto(f"{address}{SECTION}")
    page.select_option("#person", "ada")
    page.fill("#code", code)
    page.click("button")
    page.locator("section.job").wait_for()


def ticks_three(page: Page, again: Callable[[], object] = lambda: None) -> None:
    """Three jobs, one after the other, with no line; after the first something else happens."""
    page.locator("section.job").get_by_role("button", name="Done").click()
    page.get_by_text("1 entry waits here to be sent.").wait_for()
    again()
    page.get_by_text("1 entry waits here to be sent.").wait_for()
    for n in (2, 3):
        job = page.locator("details.job[open]:not(.waits)").first
        if job.locator("[name=m0]").count():
            job.locator("[name=m0]").fill("81")
        job.get_by_role("button", name="Done").first.click()
        page.get_by_text(f"{n} entries wait here to be sent.").wait_for()


def three_came(kitchen: Hut, page: Page) -> None:
    """Three ticks and a reading, once each, and none of them waits any more."""
    for _ in range(300):
        if len(kitchen.record()) >= 4:
            break
        page.wait_for_timeout(100)
    page.get_by_text("Everything on this sheet is done.").wait_for()
    assert "wait" not in page.locator("#line").inner_text()
    assert [(e.kind, e.task) for e in kitchen.record()] == [
        ("done", "soup.1/simmer"), ("measured", "soup.1/simmer"), ("done", "soup.1/simmer"),
        ("done", "supper.bowl/plating"),
    ]  # fmt: skip

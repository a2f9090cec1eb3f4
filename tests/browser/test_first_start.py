"""The first minute with Backtime: it opens, shows a planned week, and asks nobody else."""

from __future__ import annotations

from tests.browser.conftest import PHONE, Visit, scrolls_sideways, settled
from tests.browser.opened import Opened


def test_the_first_start_shows_the_demo_planned(demo: Opened, visit: Visit) -> None:
    page = settled(visit(demo.address))
    page.get_by_text("Six events served").wait_for()
    page.get_by_text("on the wall").first.wait_for()


def test_a_phone_needs_no_sideways_scroll(demo: Opened, visit: Visit) -> None:
    page = settled(visit(demo.address, **PHONE))
    assert not scrolls_sideways(page)


def test_in_the_dark_the_page_is_dark(demo: Opened, visit: Visit) -> None:
    page = settled(visit(demo.address, color_scheme="dark"))
    ground = page.eval_on_selector(
        '[data-testid="stApp"]', "e => getComputedStyle(e).backgroundColor"
    )
    assert ground == "rgb(27, 26, 30)"  # ui/palette.py, DARK.paper


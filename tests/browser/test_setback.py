"""A machine has died: three taps on a phone to a proposal, and one more to accept it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tests.browser.acting import fill
from tests.browser.conftest import PHONE, SEARCH, Visit, scrolls_sideways, settled
from tests.browser.opened import Opened

if TYPE_CHECKING:
    from playwright.sync_api import Locator


def test_a_dead_burner_is_worked_around_in_three_taps_and_accepted(
    planned: Opened, visit: Visit
) -> None:
    taps = 0

    def tap(what: Locator) -> None:
        nonlocal taps
        what.tap()
        taps += 1

    page = settled(visit(planned.address, **PHONE))
    tap(page.get_by_role("button", name="Setback", exact=True))
    page.get_by_text("What stands still?").wait_for()
    assert not scrolls_sideways(page)
    # The supper is not this week, so its moment is typed in; in a week that runs it is now.
    page.get_by_text("Since when, until when").tap()
    fill(page, "Now, by the kitchen's clock", "2027-05-08 15:00")
    settled(page)

    tap(page.get_by_role("radio", name="burner 1", exact=True))
    tap(page.get_by_role("button", name="Work it out anew"))
    page.wait_for_url(re.compile("/plans"), timeout=SEARCH)
    assert taps == 3
    page.get_by_text("Side by side").wait_for()
    page.get_by_text(re.compile(r"From plan 1 to plan \d")).wait_for()
    assert not scrolls_sideways(page)
    page.get_by_role("button", name=re.compile(r"Put plan \d on the wall in place of")).tap()
    page.get_by_text(re.compile(r"It is on the wall since")).wait_for()
    assert "Traceback" not in planned.told

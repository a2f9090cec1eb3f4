"""A bar of the chart taken to where it cannot be, and room made for it."""

from __future__ import annotations

import re

from tests.browser.acting import bar, go
from tests.browser.conftest import SEARCH, Visit, settled
from tests.browser.opened import Opened


def test_a_bar_moved_into_a_broken_rule_is_told_and_room_is_made_for_it(
    planned: Opened, visit: Visit
) -> None:
    page = go(settled(visit(planned.address)), "Chart")
    page.get_by_text("three days", exact=True).click()
    bar(page, "lamb-shoulder")
    job = page.get_by_role("dialog")
    job.get_by_text("Comes before it").wait_for()
    job.get_by_text("Move it", exact=True).click()
    job.get_by_role("button", name="60 min later").click()
    told = job.get_by_role("alert")
    told.wait_for()
    assert re.search(r"lamb-shoulder", told.inner_text()), "it says of what"
    assert "plan=" not in page.url or "plan=1" in page.url, "a try changes nothing"

    job.get_by_role("button", name="Make room for it").click()
    page.wait_for_url(re.compile("/plans"), timeout=SEARCH)
    page.get_by_text("Side by side").wait_for()
    page.get_by_text(re.compile(r"From plan 1 to plan \d")).wait_for()
    put_up = re.compile(r"Put plan \d on the wall in place of plan 1")
    page.get_by_role("button", name=put_up).wait_for()

"""Recipes in the browser: by two people at once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.acting import fill
from tests.browser.conftest import Visit, settled
from tests.browser.opened import Opened, opened, where
from tests.browser.suppers import supper
from tests.cli.running import backtime

if TYPE_CHECKING:
    from playwright.sync_api import Page

LINKED = "status of 404"
"""Streamlit asks for its settings below the page's own address first."""


@pytest.fixture
def two(tmp_path: Path) -> Iterator[tuple[Opened, dict[str, str]]]:
    """The app over one planned supper, and two chefs with their codes."""
    pytest.importorskip("streamlit")
    supper(tmp_path)
    codes = {}
    for person in ("ines", "marek"):
        made = backtime(
            "code", person, "--role", "chef", cwd=tmp_path, BACKTIME_DB=where(tmp_path)
        )
        assert made.returncode == 0, made.stderr
        codes[person] = made.stdout.splitlines()[0]
    with opened(tmp_path, "--port", "0") as app:
        yield app, codes


def test_of_two_who_save_one_recipe_the_second_is_shown_both(
    two: tuple[Opened, dict[str, str]], visit: Visit
) -> None:
    app, codes = two

    def recipe(person: str) -> Page:
        page = visit(f"{app.address}/recipes?recipe=pea-soup", expected=LINKED)
        page.select_option("#person", person)
        page.fill("#code", codes[person])
        page.click("button")
        page.get_by_role("heading", name="pea-soup").wait_for()
        return settled(page)

    first, second = recipe("ines"), recipe("marek")
    fill(first, "Makes", "8 l")
    fill(second, "Makes", "7 l")
    second.get_by_text("Changed and not saved yet.").wait_for()
    first.get_by_text("Changed and not saved yet.").wait_for()
    first.get_by_role("button", name="Save", exact=True).click()
    first.get_by_text("Saved as revision 2 by ines").wait_for()

    second.get_by_role("button", name="Save", exact=True).click()
    second.get_by_text("ines has saved this as revision 2 since you began.").wait_for()
    second.get_by_text(re.compile("8 l.*7 l")).first.wait_for()
    second.get_by_role("button", name="Only mine").click()
    second.get_by_text("since you began").wait_for(state="detached")
    second.get_by_role("button", name="Save", exact=True).click()
    second.get_by_text("Saved as revision 3 by marek").wait_for()
    first.reload()
    first.get_by_text("Saved as revision 3 by marek").wait_for()
    assert first.get_by_label("Makes", exact=True).input_value() == "7 l"

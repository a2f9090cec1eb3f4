"""Recipes in the browser: from nothing, with a mistake, and by two people at once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.acting import add_row, choose_from, fill, go, type_in
from tests.browser.conftest import Visit, settled
from tests.browser.opened import Opened, opened, where
from tests.browser.suppers import supper
from tests.cli.running import backtime

if TYPE_CHECKING:
    from playwright.sync_api import Page

LINKED = "status of 404"
"""Streamlit asks for its settings below the page's own address first."""


def test_a_component_from_nothing_is_told_of_a_mistake_at_its_field_and_saved(
    planned: Opened, visit: Visit
) -> None:
    page = go(settled(visit(planned.address)), "Recipes")
    page.get_by_role("button", name="Add a recipe").click()
    fill(page, "What it is called", "Onion jam")
    choose_from(page, "Section", "larder")
    fill(page, "How much it makes", "2 kg")
    page.get_by_role("button", name="Begin it").click()
    page.get_by_role("heading", name="Onion jam").wait_for()
    save = page.get_by_role("button", name="Save", exact=True)

    add_row(page, "Steps")
    type_in(page, "Steps", 0, "Step", "cook")
    type_in(page, "Steps", 0, "Takes at least", "2 h")
    keeps = "Where it keeps, and how long"
    add_row(page, keeps)
    type_in(page, keeps, 0, "In a store that is", "chilled")
    type_in(page, keeps, 0, "At most", "3 d")
    type_in(page, keeps, 0, "On one shelf", "2 kg")

    fill(page, "Makes", "2 buckets")
    makes = page.get_by_test_id("stColumn").filter(has=page.get_by_label("Makes", exact=True))
    makes.last.get_by_text("✗").wait_for()
    assert "buckets" in makes.last.inner_text()
    page.get_by_role("button", name="Save", exact=True, disabled=True).wait_for()
    fill(page, "Makes", "2 kg")
    makes.last.get_by_text("✗").wait_for(state="detached")
    save.click()
    page.get_by_text("Saved as revision 1").wait_for()


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
    first.wait_for_function(
        "() => document.querySelector('input[aria-label=Makes]')?.value === '7 l'"
    )

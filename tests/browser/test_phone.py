"""Every page on a phone, with the worst names that anybody can type."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.conftest import DESK, PHONE, Visit, scrolls_sideways, settled
from tests.browser.opened import Opened, opened
from tests.browser.suppers import supper

BEGINS = "<b>x</b> [a](b) $1 :material/x: 鍋 "
NAME = BEGINS + "Ř" * (118 - len(BEGINS))
"""With the number behind it as long as a name may be."""
LINKED = "status of 404"
PAGES = "", "chart", "room", "menu", "recipes?recipe=lamb-shoulder", "brigade", "kitchen", "plans"
TEXT = (
    "() => [document.body.textContent,"
    " ...[...document.querySelectorAll('input, textarea')].map(e => e.value)]"
    ".join(' ').replaceAll('\\u2060', '')"
)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Opened]:
    """The app over a planned supper in which everything has a name of that sort."""
    pytest.importorskip("streamlit")
    folder: Path = tmp_path_factory.mktemp("hostile")
    supper(folder, NAME)
    with opened(folder, "--port", "0") as app:
        yield app


@pytest.mark.parametrize(
    "window",
    [PHONE | {"color_scheme": "light"}, PHONE | {"color_scheme": "dark"}, DESK],
    ids=["phone-light", "phone-dark", "desk"],
)
def test_a_hostile_name_stands_as_typed_and_no_page_is_wider_than_its_window(
    hostile: Opened, visit: Visit, window: dict[str, object]
) -> None:
    page = settled(visit(hostile.address, expected=LINKED, **window))
    for path in (*PAGES, "rules"):
        page.goto(f"{hostile.address}/{path}")
        settled(page)
        page.wait_for_function(
            f"name => ({TEXT})().includes(name)", arg=BEGINS.strip()
        ) if path != "rules" else None
        assert not scrolls_sideways(page), path
        assert page.locator("b", has_text=re.compile("^x$")).count() == 0, path
        assert page.locator('a[href$="/b"], a[href="b"]').count() == 0, path
        assert page.get_by_text("it is our fault").count() == 0, path
        assert page.get_by_test_id("stException").count() == 0, path
    assert "Traceback" not in hostile.told

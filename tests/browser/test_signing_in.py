"""Somebody signs in on a tablet, works, and leaves it to the next."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.conftest import PHONE, Visit, scrolls_sideways, settled
from tests.browser.opened import Opened, opened, where
from tests.cli.running import backtime

REFUSED = "status of 403"
"""What Chromium's console says of the answer to a wrong code."""


@pytest.fixture
def guarded(tmp_path: Path, demo: Opened) -> Iterator[tuple[Opened, str, str]]:
    """The app over a copy of the demo's book, with a chef who has a code: who, and the code."""
    assert demo.address
    file = tmp_path / "copy.zip"
    backtime("backup", file, cwd=tmp_path, BACKTIME_DB=where(demo.folder))
    backtime("restore", file, cwd=tmp_path, BACKTIME_DB=where(tmp_path))
    person = "greta"
    made = backtime("code", person, "--role", "chef", cwd=tmp_path, BACKTIME_DB=where(tmp_path))
    assert made.returncode == 0, made.stderr
    with opened(tmp_path, "--port", "0") as app:
        yield app, person, made.stdout.splitlines()[0]


def test_a_wrong_code_a_right_one_and_out_again(
    guarded: tuple[Opened, str, str], visit: Visit
) -> None:
    app, person, code = guarded
    page = visit(f"{app.address}/?plan=1", expected=REFUSED, **PHONE)
    assert page.url.startswith(f"{app.address}/sign-in?")
    assert not scrolls_sideways(page)
    page.select_option("#person", person)
    page.fill("#code", "111111")
    page.click("button")
    page.get_by_text(f"That is not the code of {person}").wait_for()

    page.fill("#code", code)
    page.click("button")
    settled(page)
    assert page.url == f"{app.address}/?plan=1"
    page.get_by_text("Six events served").wait_for()

    other = page.context.new_page()
    other.goto(app.address)
    settled(other)
    page.get_by_role("button", name="Greta").click()
    page.get_by_role("button", name="Sign out").click()
    page.get_by_text(re.compile("Please sign in")).wait_for()
    other.reload()
    other.wait_for_url(re.compile("/sign-in"))
    page.get_by_role("link", name="Sign in").click()
    page.wait_for_url(re.compile("/sign-in"))  # in the same tab


def test_signing_in_works_without_javascript(
    guarded: tuple[Opened, str, str], visit: Visit
) -> None:
    app, person, code = guarded
    page = visit(f"{app.address}/sign-in", java_script_enabled=False)
    page.select_option("#person", person)
    page.fill("#code", code)
    page.click("button")
    page.wait_for_url(f"{app.address}/")

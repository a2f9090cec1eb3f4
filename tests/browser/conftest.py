"""A browser for each test, which fails it on any request elsewhere and any error of a page."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.opened import Opened, opened
from tests.browser.suppers import supper

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CHROMIUM = "chromium", "chromium-browser"
QUIET = (
    "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
PICTURES = "BACKTIME_PICTURES"
"""In the environment: the folder for pictures of failed tests; left out: the test's own."""
DESK = {"viewport": {"width": 1440, "height": 900}}
PHONE = {
    "viewport": {"width": 390, "height": 844}, "device_scale_factor": 2, "is_mobile": True,
    "has_touch": True,
}  # fmt: skip
LAPSE = 60_000
"""Milliseconds for what takes one or two seconds on a quiet machine."""
SEARCH = 240_000
"""Milliseconds for what takes a process of its own and a search of ten seconds."""

Visit = Callable[..., "Page"]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    """Let fixtures know how a test ended."""
    report = yield
    if report.when == "call":
        item.failed = report.failed  # type: ignore[attr-defined]
    return report


@pytest.fixture
def arguments() -> tuple[str, ...]:
    """What a module's tests start Chromium with besides."""
    return ()


@pytest.fixture
def browser(arguments: tuple[str, ...]) -> Iterator[Browser]:
    """Chromium. Each test has its own: its event loop must not meet those of other tests."""
    playwright = pytest.importorskip("playwright.sync_api")
    found = next(filter(None, map(shutil.which, CHROMIUM)), None)
    if found is None:
        pytest.skip("no Chromium is installed (apt-get install chromium)")
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    with playwright.sync_playwright() as running:
        more = [*arguments, *(["--no-sandbox"] if root else [])]
        one = running.chromium.launch(executable_path=found, args=[*QUIET, *more])
        yield one
        one.close()


@pytest.fixture
def visit(
    browser: Browser, request: pytest.FixtureRequest, tmp_path: Path
) -> Iterator[Visit]:
    """Opens an address in a window of its own: `visit(address, **PHONE)`.

    At the end of the test nothing may have been asked for elsewhere than there, and no page may
    have had an error; `expected` is a regular expression of those that belong to the test.
    """
    wrong: list[str] = []
    pages: list[Page] = []

    def go(address: str, *, expected: str | None = None, **window: object) -> Page:
        home = re.match(r"https?://([^/]+)", address)
        assert home
        ours = re.compile(rf"(https?|wss?)://{re.escape(home[1])}(/|$)|(data|blob|about):")
        page = browser.new_context(**(window or DESK)).new_page()  # type: ignore[arg-type]
        page.set_default_timeout(LAPSE)

        def elsewhere(url: str) -> None:
            if not ours.match(url):
                wrong.append(f"asked elsewhere: {url}")

        def fault(text: str) -> None:
            if expected is None or not re.search(expected, text):
                wrong.append(text)

        page.on("request", lambda asked: elsewhere(asked.url))
        page.on("websocket", lambda asked: elsewhere(asked.url))
        page.on("pageerror", lambda error: fault(f"error of a page: {error}"))
        page.on(
            "console",
            lambda said: fault(f"console: {said.text}") if said.type == "error" else None,
        )
        pages.append(page)
        page.goto(address)
        return page

    yield go
    if getattr(request.node, "failed", False):
        folder = Path(os.environ.get(PICTURES, tmp_path))
        name = re.sub(r"\W+", "-", request.node.name)
        for number, page in enumerate(pages):
            page.screenshot(path=folder / f"{name}-{number}.png", full_page=True)
    for page in pages:
        page.context.close()
    assert wrong == []


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Opened]:
    """The app after its first start, for tests that change nothing."""
    pytest.importorskip("streamlit")
    with opened(tmp_path_factory.mktemp("demo"), "--port", "0") as app:
        yield app


@pytest.fixture
def planned(tmp_path: Path) -> Iterator[Opened]:
    """The app over one planned supper, for tests that change it."""
    pytest.importorskip("streamlit")
    supper(tmp_path)
    with opened(tmp_path, "--port", "0") as app:
        yield app


def settled(page: Page) -> Page:
    """Wait until the app has drawn the page."""
    page.wait_for_selector('[data-testid="stApp"][data-test-script-state="notRunning"]')
    page.wait_for_selector('[data-testid="stMainBlockContainer"] :is(h1, h2, h3, p)')
    return page


def scrolls_sideways(page: Page) -> bool:
    """Is anything wider than the window?"""
    return bool(
        page.evaluate(
            "() => [document.scrollingElement, ...document.querySelectorAll("
            "'[data-testid=stMain], [data-testid=stAppViewContainer]')]"
            ".some(e => e.scrollWidth > e.clientWidth + 1)"
        )
    )

"""A book of its own for every test, and the app on it."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from scheduler.book import plans
from scheduler.book.exchange import import_week
from scheduler.book.opening import Book, open_book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import put_up
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_written
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, plan_text, verdicts_of
from scheduler.solve.engine import plan_week
from tests.ui.phone import Hut, hut, stock

APP = Path(__file__).parents[2] / "ui" / "app.py"
Opened = Callable[..., AppTest]


@pytest.fixture(scope="session")
def planned() -> tuple[Scenario, str]:
    """The supper of first-week and the text of a plan of it."""
    week, _ = read_written(find_scenario("first-week"))
    plan = plan_week(week, seconds=0.2, deterministic=True)
    return week, plan_text(plan, week, Made(), verdicts_of(audit(week, plan)))


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Book]:
    """An empty book, where the app finds it."""
    monkeypatch.setenv("BACKTIME_DB", str(tmp_path / "book.sqlite"))
    # AppTest has no browser, only something that says yes to everything.
    monkeypatch.setattr("ui.here.sits_here", lambda: True)
    monkeypatch.setattr("ui.here.token", str)
    st.cache_resource.clear()
    opened = open_book()
    yield opened
    opened.close()
    st.cache_resource.clear()


@pytest.fixture
def chef() -> Who:
    """The chef of first-week's kitchen."""
    return Who("corner-house", "ines", Role.CHEF)


@pytest.fixture
def imported(book: Book, chef: Who) -> Book:
    """The book with first-week in it, not planned yet."""
    week, files = read_written(find_scenario("first-week"))
    import_week(book, Who(week.kitchen.id, "ines", Role.CHEF), week, files)
    return book


@pytest.fixture
def hung(imported: Book, planned: tuple[Scenario, str]) -> Book:
    """The book with first-week and its plan, which is number 1 and on the wall."""
    week, text = planned
    who = Who(week.kitchen.id, "ines", Role.CHEF)
    put_up(imported, who, plans.keep(imported, who, text).number, None)
    return imported


@pytest.fixture
def opened() -> Opened:
    """Opens a page of the app: opened("plans", week="…"); the first one without a name."""

    def open_page(page: str = "", **address: str) -> AppTest:
        at = AppTest.from_file(str(APP), default_timeout=180)
        for key, value in address.items():
            at.query_params[key] = value
        at.run()
        if page:
            at.switch_page(str(APP.parent / "screens" / f"{page}.py")).run()
        return at

    return open_page


@pytest.fixture(scope="session")
def stocked_hut(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The hut's book in a folder, to be copied: quicker than making each."""
    folder = tmp_path_factory.mktemp("stocked")
    stock(folder)
    return folder


@pytest.fixture
def served(stocked_hut: Path, tmp_path: Path) -> Iterator[Hut]:
    """The hut's sheets on a socket, with Ada signed in; Friday, 14:20."""
    shutil.copytree(stocked_hut, tmp_path, dirs_exist_ok=True)
    with hut(tmp_path) as one:
        one.signed_in("ada")
        yield one


def said(at: AppTest) -> str:
    """Everything that a page says, in one text."""
    parts = [*at.subheader, *at.markdown, *at.caption, *at.error, *at.warning, *at.info]
    return "\n".join(str(p.value) for p in parts)

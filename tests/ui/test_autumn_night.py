"""The night on which clocks go back, with plates in its doubled hour, on every page."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from scheduler.book import plans
from scheduler.book.exchange import import_week
from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import put_up
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_written
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, plan_text, verdicts_of
from scheduler.plan.words import Names
from scheduler.solve.engine import plan_week
from tests.ui.conftest import Opened
from tests.ui.test_editing_pages import said
from ui.charts.panels import loads, ovens
from ui.charts.window import window
from ui.palette import LIGHT


def night(folder: Path) -> Path:
    """First-week as a written week that ends in that night."""
    document: dict[str, Any] = read_written(find_scenario("first-week"))[0].document()
    week = document["week"]
    week |= {"starts": "2026-10-22 06:00", "plan_from": "2026-10-22 06:00"}
    week["ends"] = "2026-10-26 00:00"
    week["events"][0]["first_plate"] = "2026-10-25 02:30"
    for person in document["kitchen"]["people"]:
        person["shifts"] = [{"days": ["daily"], "hours": "12:00-05:00"}]
    (folder / "week.yaml").write_text(json.dumps(document), encoding="utf-8")
    return folder


@pytest.fixture
def autumn(book: Book, tmp_path: Path) -> tuple[Book, Names]:
    """The book with that week and its plan on the wall."""
    folder = tmp_path / "written"
    folder.mkdir()
    week, files = read_written(night(folder))
    plan = plan_week(week, seconds=0.3, deterministic=True)
    who = Who(week.kitchen.id, "ines", Role.CHEF)
    import_week(book, who, week, files)
    text = plan_text(plan, week, Made(), verdicts_of(audit(week, plan)))
    put_up(book, who, plans.keep(book, who, text).number, None)
    return book, Names(week, plan)


def test_every_page_opens_and_the_doubled_hour_says_which_of_the_two_it_is(
    autumn: tuple[Book, Names], opened: Opened
) -> None:
    pages = ("", "chart", "room", "menu", "brigade", "plans")
    found = {page: opened(page, day="2026-10-25") for page in pages}
    for at in found.values():
        assert not at.exception
        assert [e.value for e in at.error] == []
    assert "Sun 25 Oct 02:30 CEST" in said(found[""])
    table = next(d.value for d in found["brigade"].dataframe if "Person" in d.value)
    assert set(table["Sat 24 Oct"]) == {"12:00-05:00"}


def test_no_load_and_no_setting_runs_backwards_where_the_clock_does(
    autumn: tuple[Book, Names],
) -> None:
    from scheduler.plan.load import hands, settings, shelves

    names = autumn[1]
    day = window(names.scenario.clock, "day", names.local(names.scenario.clock.horizon - 1).date())
    for rows, of in ((shelves(names), "shelves"), (hands(names), "pairs of hands")):
        for trace in loads(names, rows, day, LIGHT, of, 0).data:
            assert list(trace.x) == sorted(trace.x), (of, trace.x)
    for trace in ovens(names, settings(names), day, LIGHT, 0).data:
        assert all(length > 0 for length in trace.width)

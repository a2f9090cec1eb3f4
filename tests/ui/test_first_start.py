"""The first screen is a week that is planned already."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from scheduler.book.jobs import job_began, jobs
from scheduler.book.listing import kitchens
from scheduler.book.opening import Book, open_book
from scheduler.book.plans import plans_of
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import hanging
from scheduler.domain.finding import find_scenario, shipped_plan, shipped_week
from scheduler.domain.reading import read_scenario
from scheduler.plan.file import read_plan
from ui import first_start
from ui.arriving import NOBODY

ANEW = (
    "make it anew: backtime plan demo --deterministic --out scenarios/demo/demo.plan.json "
    "(after every change of the demo; it takes a quarter of an hour)"
)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    one = open_book(str(tmp_path / "book.sqlite"))
    yield one
    one.close()


def test_the_plan_that_comes_with_the_demo_is_of_the_demo_and_serves_everybody() -> None:
    path = shipped_plan("demo")
    assert path is not None, ANEW
    file = read_plan(path)
    assert file.scenario.sha256() == read_scenario(shipped_week("demo")).sha256(), ANEW
    assert (file.report.valid, file.report.served) == (True, True), ANEW
    assert file.made.deterministic, ANEW


def test_a_plan_beside_a_shipped_week_is_no_part_of_the_week(tmp_path: Path) -> None:
    folder = find_scenario("demo")
    (tmp_path / "demo").mkdir()
    for file in folder.glob("*.yaml"):
        (tmp_path / "demo" / file.name).write_bytes(file.read_bytes())
    assert read_scenario(folder).sha256() == read_scenario(tmp_path / "demo").sha256()


def test_an_empty_book_begins_with_the_demo_on_the_wall(book: Book) -> None:
    told: list[str] = []
    first_start.begin(book, "agnes", told.append)
    (kitchen,) = kitchens(book, NOBODY)
    who = Who(kitchen.id, "agnes", Role.CHEF)
    (kept,) = plans_of(book, who)
    assert kept.served
    assert [one.number for one in hanging(book, who)] == [kept.number]
    assert len(told) == 1

    first_start.begin(book, "agnes", told.append)
    assert len(plans_of(book, who)) == 1, "a second start changes nothing"
    assert len(told) == 1


def test_a_folder_of_the_users_own_is_not_taken_for_the_demo(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "week.yaml").write_text("schema: 1\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    first_start.begin(book, "agnes", lambda _: None)
    assert len(kitchens(book, NOBODY)) == 1


def test_where_the_shipped_plan_is_of_another_week_the_week_is_planned(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(first_start, "DEMO", "first-week")  # which comes without a plan
    monkeypatch.setattr(first_start, "_SECONDS", 2)
    told: list[str] = []
    first_start.begin(book, "agnes", told.append)
    (kitchen,) = kitchens(book, NOBODY)
    who = Who(kitchen.id, "agnes", Role.CHEF)
    assert [one.valid for one in plans_of(book, who)] == [True]
    assert len(hanging(book, who)) == 1
    assert any("Planning it first" in line for line in told)


def test_a_shipped_plan_of_an_older_demo_is_not_shown() -> None:
    assert first_start._shipped(read_scenario(shipped_week("first-week"))) is None  # noqa: SLF001


def test_a_search_whose_process_is_gone_no_longer_says_that_it_runs(book: Book) -> None:
    first_start.begin(book, "agnes", lambda _: None)
    (kitchen,) = kitchens(book, NOBODY)
    who = Who(kitchen.id, "agnes", Role.CHEF)
    week = plans_of(book, who)[0].week
    job_began(book, who, "lost", week, "nowhere", 2**22 + 7)  # above any process there can be
    told: list[str] = []
    first_start.begin(book, "agnes", told.append)
    assert [one.outcome for one in jobs(book, who)] == ["gone"]
    assert told == ["1 search had ended without a word: noted."]

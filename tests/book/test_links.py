"""Links on paper and of calendars: they open what they say, and only as long as they should."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

import pytest

from scheduler.book.address import ADDRESS, address
from scheduler.book.codes import make_code, withdraw_code
from scheduler.book.documents import save
from scheduler.book.errors import BookError, NotAllowed, NotThere
from scheduler.book.links import (
    BadLink,
    SheetLink,
    calendar_link,
    calendar_of,
    sheet_link,
    sheet_of,
)
from scheduler.book.opening import Book
from scheduler.book.revisions import Change
from scheduler.book.role import Role
from tests.book.hut import CHEF, COOK, SOUS
from tests.book.people import START, Clock
from tests.plan import tiny

DAY = START.date()


def test_the_code_on_paper_opens_its_sheet_until_two_days_after_it(hut: Book, clock: Clock) -> None:
    token = sheet_link(hut, COOK, 1, "section", "stove", DAY, DAY)
    assert sheet_of(hut, token) == SheetLink("hut", 1, "section", "stove", DAY)
    assert len(token) < 100
    clock.move(days=2)
    assert sheet_of(hut, token).id == "stove"
    clock.move(days=1)
    with pytest.raises(BadLink, match=f"plan 1 and for {DAY}; its code has expired"):
        sheet_of(hut, token)


def test_an_old_sheet_printed_today_can_be_opened_today(hut: Book, clock: Clock) -> None:
    token = sheet_link(hut, CHEF, 1, "person", "ada", date(2020, 1, 1), date(2020, 1, 2))
    clock.move(hours=23)
    assert sheet_of(hut, token) == SheetLink("hut", 1, "person", "ada", date(2020, 1, 1))
    clock.move(hours=2)
    with pytest.raises(BadLink, match="expired"):
        sheet_of(hut, token)


def test_a_link_that_was_changed_or_is_of_something_else_opens_nothing(hut: Book) -> None:
    make_code(hut, CHEF, "ada", Role.CHEF)
    sheet = sheet_link(hut, CHEF, 1, "all", "", DAY, DAY)
    for token in ("", "x", sheet + "x", sheet[:-1], calendar_link(hut, COOK, "ada"), "ü"):
        with pytest.raises(BadLink, match="no link to a sheet of this kitchen"):
            sheet_of(hut, token)
    with pytest.raises(BadLink, match="no link to a calendar"):
        calendar_of(hut, sheet)


def test_a_plan_that_is_not_there_gets_no_code(hut: Book) -> None:
    with pytest.raises(NotThere, match="no plan 99"):
        sheet_link(hut, CHEF, 99, "all", "", DAY, DAY)


def test_a_calendar_is_open_until_its_code_is_withdrawn_or_changed(hut: Book) -> None:
    make_code(hut, CHEF, "ada", Role.CHEF)
    token = calendar_link(hut, COOK, "ada")
    assert calendar_of(hut, token) == ("hut", "ada")
    make_code(hut, CHEF, "ada", Role.CHEF)
    with pytest.raises(BadLink, match="was withdrawn"):
        calendar_of(hut, token)
    token = calendar_link(hut, SOUS, "ada")
    withdraw_code(hut, CHEF, "ada")
    with pytest.raises(BadLink, match="was withdrawn"):
        calendar_of(hut, token)


def test_whoever_has_left_has_no_calendar(hut: Book) -> None:
    make_code(hut, CHEF, "ada", Role.CHEF)
    token = calendar_link(hut, COOK, "ada")
    kitchen = deepcopy(tiny.DOCUMENT["kitchen"])
    kitchen["people"][0]["id"] = "bo"
    save(hut, CHEF, [Change("kitchen", "hut", kitchen, 1)])
    with pytest.raises(BadLink, match="was withdrawn"):
        calendar_of(hut, token)


def test_a_cook_cannot_give_out_the_calendar_of_somebody_else(hut: Book) -> None:
    with pytest.raises(NotAllowed, match="somebody else's calendar takes a chef or sous"):
        calendar_link(hut, COOK, "agnes")


def test_without_a_code_there_is_no_calendar_and_it_says_how_to_get_one(hut: Book) -> None:
    with pytest.raises(BookError, match="`backtime code ada` first"):
        calendar_link(hut, COOK, "ada")


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("http://kitchen.local:8470/", "http://kitchen.local:8470"),
        (" https://kitchen.example ", "https://kitchen.example"),
        ("http://192.168.1.20:8470", "http://192.168.1.20:8470"),
        ("http://[fd00::7]:8470", "http://[fd00::7]:8470"),
        ("", None),
    ],
)
def test_the_address_of_the_screens_is_read(written: str, read: str | None) -> None:
    assert address(written) == read


@pytest.mark.parametrize(
    "written",
    [
        "ftp://kitchen.local", "http://", "http://kitchen.local/week", "http://a b",
        "http://kitchen.local:99999", "http://kitchen.local:0", "http://me@kitchen.local",
        "http://kitchen.local?x=1", "javascript://x",
    ],
)  # fmt: skip
def test_what_is_no_address_is_refused_before_it_is_printed_on_forty_sheets(written: str) -> None:
    with pytest.raises(BookError, match=r"is no address like http://kitchen\.local:8470"):
        address(written)


def test_an_address_without_its_beginning_says_what_was_meant(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv(ADDRESS, "kitchen.local:8470")
    with pytest.raises(BookError, match=r"Maybe 'http://kitchen\.local:8470'"):
        address()



"""What is downloaded from the page of plans, and where calendars are found."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from scheduler.book.address import ADDRESS
from scheduler.book.codes import make_code
from scheduler.book.listing import weeks
from scheduler.book.opening import Book
from scheduler.book.plans import plans_of
from scheduler.book.record import Entry, enter
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import hanging
from scheduler.outputs.paper.size import Paper
from tests.ui.conftest import Opened, said
from ui.here import Here
from ui.on_paper import sheets_pdf, unprintable, wall_pdf, workbook

ME = Who("corner-house", "whoever sits here", Role.CHEF)


@pytest.fixture
def at(hung: Book, chef: Who) -> Here:
    """At plan 1 of first-week, which is on the wall."""
    (week,) = weeks(hung, chef)
    return Here(hung, chef, week, plans_of(hung, chef), hanging(hung, chef)[0], 1)


def text(pdf: bytes) -> str:
    return " ".join(" ".join(p.extract_text().split()) for p in PdfReader(BytesIO(pdf)).pages)


def test_sheets_of_every_section_are_downloaded_with_number_and_code(at: Here) -> None:
    file = at.file
    assert file is not None
    printed = sheets_pdf(at, file, "http://kitchen.example:8470", "section", None, Paper.A4)
    assert "No. 1" in text(printed)
    assert "Jobs" in text(printed)
    plain = sheets_pdf(at, file, None, "section", None, Paper.A4)
    assert text(plain) == text(printed)
    assert len(plain) < len(printed)  # by the codes


def test_before_a_sheet_is_printed_it_is_said_what_its_font_lacks(at: Here) -> None:
    file = at.file
    assert file is not None
    assert unprintable(file) == ()
    dish = file.scenario.dishes[0].model_copy(update={"name": "Soup 鯛 with leek"})
    week = file.scenario.model_copy(update={"dishes": (dish, *file.scenario.dishes[1:])})
    (said_of,) = unprintable(replace(file, scenario=week))
    assert "lacks 鯛 in 'Soup 鯛 with leek'" in said_of


def test_sheets_of_people_are_of_one_day_and_a_day_without_jobs_is_one_page(at: Here) -> None:
    file = at.file
    assert file is not None
    first = file.scenario.clock.first_day
    pages = PdfReader(BytesIO(sheets_pdf(at, file, None, "person", first, Paper.LETTER))).pages
    assert len(pages) >= 1
    assert round(pages[0].mediabox.width) == 612


def test_the_wall_sheet_and_the_workbook_are_downloaded(at: Here, chef: Who) -> None:
    file = at.file
    assert file is not None
    assert file.scenario.week.name in text(wall_pdf(at, file, None))
    assert load_workbook(BytesIO(workbook(at, file))).sheetnames == ["Plan", "Sheets", "Quantities"]
    batch = file.plan.batches[0].id
    note = Entry("a-b-c-d-e-f", file.scenario.week.id, batch, None, "note", {"text": "burnt"},
                 at.book.clock())  # fmt: skip
    enter(at.book, chef, note)
    assert "Record" in load_workbook(BytesIO(workbook(at, file))).sheetnames


def test_the_page_of_plans_offers_paper_and_says_how_codes_come_onto_it(
    hung: Book, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(ADDRESS, raising=False)
    at = opened("plans")
    assert not at.exception
    assert "BACKTIME_ADDRESS says where they find these screens" in said(at).replace("\\", "")
    assert [b.label for b in at.get("download_button")] == [
        "Sheets (PDF)", "Wall sheet (PDF)", "Workbook (xlsx)"
    ]  # fmt: skip
    monkeypatch.setenv(ADDRESS, "kitchen.local")
    assert "is no whole address" in said(opened("plans")).replace("\\", "")


def test_the_chef_finds_the_address_of_a_calendar(
    imported: Book, opened: Opened, chef: Who, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(ADDRESS, "http://kitchen.example:8470")
    assert "once BACKTIME_ADDRESS says" in said(opened("brigade")).replace("\\", "")
    make_code(imported, chef, "ines", Role.CHEF)
    monkeypatch.setattr("ui.here.who_comes", lambda _: chef)
    at = opened("brigade")
    at = next(s for s in at.selectbox if s.label == "Calendar of").set_value("ines").run()
    (code,) = at.code
    assert str(code.value).startswith("http://kitchen.example:8470/calendar/")

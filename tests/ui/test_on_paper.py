"""What is downloaded from the page of plans, and tables that are pasted into forms."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader
from streamlit.testing.v1 import AppTest

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
from ui.editing.begun import begun
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


def area(at: AppTest, text: str) -> AppTest:
    """Paste something into the only box there is for it, and put it in."""
    next(a for a in at.text_area if a.label.startswith("Copied cells")).set_value(text)
    return next(b for b in at.button if b.label == "Put it in").click().run()


def test_a_pasted_roster_is_in_the_form_and_saved_only_when_somebody_saves(
    imported: Book, opened: Opened
) -> None:
    at = opened("brigade")
    person = begun(imported, ME, "kitchen", "corner-house").body["people"][0]
    days = "2026-12-03\t2026-12-04"
    at = area(at, f"who\t{days}\n{person['id']}\t8-16:30\toff\n")
    assert not at.exception
    assert [e.value for e in at.error] == []
    draft = begun(imported, ME, "kitchen", "corner-house")
    assert draft.kept
    there = next(p for p in draft.body["people"] if p["id"] == person["id"])
    assert "2026-12-04" in there["off"]
    assert any(s["hours"] == "08:00-16:30" for s in there["shifts"])


def test_a_pasted_table_with_a_wrong_cell_changes_nothing_and_says_which(
    imported: Book, opened: Opened
) -> None:
    at = area(opened("brigade"), "who\t3.12.2026\t2026-12-04\nnobody\t\t\n")
    shown = "\n".join(str(e.value) for e in at.error).replace("\\", "")
    assert "B1: '3.12.2026' is not a date; write 2026-12-03" in shown
    assert "A2: there is no person 'nobody'" in shown
    assert not begun(imported, ME, "kitchen", "corner-house").kept
    at = area(opened("brigade"), "")
    assert "there is nothing in it yet" in "\n".join(str(e.value) for e in at.error)


def test_pasted_counts_are_on_hand_in_the_form_of_the_week(imported: Book, opened: Opened) -> None:
    (week,) = weeks(imported, ME)
    at = opened("menu", week=week.id)
    at = area(at, f"what\tl\tmade\npea-soup\t2,5\t{week.starts:%Y-%m-%d}\n")
    assert [e.value for e in at.error] == []
    (lot,) = begun(imported, ME, "week", week.id).body["on_hand"]
    assert (lot["component"], lot["quantity"]) == ("pea-soup", "2.5 l")


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

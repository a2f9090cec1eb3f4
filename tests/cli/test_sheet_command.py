"""sheet: the prep sheet as text, and what is said of a sheet that there is not."""

from __future__ import annotations

from pathlib import Path

import pytest
from icalendar import Calendar
from openpyxl import load_workbook
from pypdf import PdfReader

from scheduler.book.opening import open_book
from scheduler.book.plans import keep
from scheduler.book.record import Entry, enter
from scheduler.book.wall import put_up
from scheduler.plan.file import Made, write_plan
from tests.book.hut import CHEF, COOK, later, stocked, text
from tests.book.people import START
from tests.cli.running import backtime
from tests.plan import tiny


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "supper.plan.json"
    write_plan(path, tiny.plan(), tiny.scenario(), Made(versions={}))
    return path


def test_a_cook_reads_what_to_do_how_much_by_when_and_where_it_goes(plan: Path) -> None:
    ran = backtime("sheet", plan, "--section", "stove", "--day", "2026-12-04", cwd=plan.parent)
    assert ran.returncode == 0, ran.stderr
    said = " ".join(ran.stdout.split())
    assert said.startswith("Stove, Fri 4 Dec Ada 08:00-22:00 Jobs ")
    assert "by 14:00 rdy 14:15 Barley soup, 9 l: fill (simmer)" in said
    assert "goes to Cold room, 2 shelves: 9 l for Bowl of soup (Supper), 18:00" in said
    assert "at 18:00 rdy 18:30 Bowl of soup (Supper), 36 portions: plating" in said
    assert "takes 9 l Barley soup (Cold room)" in said
    assert "on kettle" in said
    assert max(map(len, ran.stdout.splitlines())) <= 80


def test_without_options_there_is_a_sheet_of_every_section_and_day(plan: Path) -> None:
    every = backtime("sheet", plan, cwd=plan.parent).stdout
    assert every == backtime("sheet", plan, "--section", "stove", cwd=plan.parent).stdout
    own = backtime("sheet", plan, "--person", "ada", cwd=plan.parent).stdout
    assert own.splitlines()[0] == "Ada, Fri 4 Dec"


def test_a_day_without_jobs_says_so(plan: Path) -> None:
    ran = backtime("sheet", plan, "--person", "ada", "--day", "2026-12-03", cwd=plan.parent)
    assert ran.returncode == 0
    assert "Jobs\n  Nothing." in ran.stdout


def refused(plan: Path, options: tuple[str, ...], said: str, never: str) -> None:
    """It is said why, in a sentence, and no such file is written."""
    ran = backtime("sheet", plan, *options, cwd=plan.parent)
    assert ran.returncode == 2
    assert said in " ".join(ran.stderr.split())
    assert "Traceback" not in ran.stderr
    assert not list(plan.parent.glob(never))


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--person", "adda"), "Nobody here is called 'adda'. Maybe 'ada'."),
        (("--section", "pastry"), "There is no section 'pastry'. There are stove."),
        (
            ("--day", "friday"),
            "'friday' is no day like '2026-12-04'. There is something to do on: 2026-12-04.",
        ),
        (
            ("--day", "2027-01-01"),
            "Fri 1 Jan 2027 is not in this week, which goes from Thu 3 Dec to Sat 5 Dec 2026.",
        ),
    ],
)
def test_a_sheet_there_is_not_gets_one_sentence_with_what_there_is(
    plan: Path, options: tuple[str, str], said: str
) -> None:
    ran = backtime("sheet", plan, *options, cwd=plan.parent)
    assert (ran.returncode, ran.stdout, ran.stderr) == (2, "", said + "\n")


def test_a_sheet_is_of_a_section_or_of_a_person(plan: Path) -> None:
    ran = backtime("sheet", plan, "--section", "stove", "--person", "ada", cwd=plan.parent)
    assert ran.returncode == 2
    assert "one of the two" in ran.stderr


def test_the_sheet_of_a_plan_nobody_should_cook_from_says_so_first(plan: Path) -> None:
    write_plan(
        plan, tiny.plan().model_copy(update={"holds": ()}), tiny.scenario(), Made(versions={})
    )
    ran = backtime("sheet", plan, cwd=plan.parent)
    assert ran.returncode == 0
    assert ran.stdout.startswith("Do not cook from this plan: it breaks holds")


def test_a_cook_takes_the_week_along_in_their_own_calendar(plan: Path) -> None:
    ran = backtime("sheet", plan, "--person", "ada", "--ics", "ada.ics", cwd=plan.parent)
    assert (ran.returncode, ran.stdout) == (0, "2 jobs of Ada in ada.ics.\n"), ran.stderr
    raw = (plan.parent / "ada.ics").read_bytes()
    file = Calendar.from_ical(raw)
    assert [str(e["summary"]) for e in file.walk("VEVENT")] == [
        "Barley soup, 9 l: fill (simmer)",
        "Bowl of soup (Supper), 36 portions: plating",
    ]
    assert str(file["x-wr-calname"]) == "Ada, Supper at the hut"


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--ics", "x.ics"), "--person ID"),
        (("--person", "ada", "--day", "2026-12-04", "--ics", "x.ics"), "a whole week"),
        (("--person", "zoe", "--ics", "x.ics"), "Nobody here is called 'zoe'. There are ada."),
        (("--person", "ada", "--ics", "no/x.ics"), "cannot be written"),
    ],
)
def test_a_calendar_that_cannot_be_written_is_refused_plainly(
    plan: Path, options: tuple[str, ...], said: str
) -> None:
    refused(plan, options, said, "*.ics")


def test_sheets_come_out_of_the_printer_one_a_page(plan: Path, tmp_path: Path) -> None:
    ran = backtime(
        "sheet", plan, "--pdf", "all.pdf", "--paper", "letter", cwd=plan.parent,
        BACKTIME_DB=str(tmp_path / "no.sqlite"),
    )  # fmt: skip
    assert (ran.returncode, ran.stdout) == (
        0, "1 sheet on 1 page in all.pdf, without a number.\n"
    ), ran.stderr  # fmt: skip
    assert "Not kept in the book" in ran.stderr
    (page,) = PdfReader(plan.parent / "all.pdf").pages
    assert "Barley soup, 9 l: fill (simmer)" in " ".join(page.extract_text().split())
    assert not (tmp_path / "no.sqlite").exists()


def test_paper_says_the_number_of_the_book_and_which_one_to_bin(tmp_path: Path) -> None:
    where = str(tmp_path / "book.sqlite")
    book = open_book(where)
    stocked(book)
    for number, made in enumerate((text(), text(later(45))), start=1):
        (tmp_path / f"{number}.json").write_text(made, encoding="utf-8")
        put_up(book, CHEF, keep(book, CHEF, made).number, number - 1 or None)
    book.close()
    options = {"BACKTIME_DB": where, "BACKTIME_ADDRESS": "http://kitchen.example:8470"}
    ran = backtime("sheet", "2.json", "--pdf", "2.pdf", cwd=tmp_path, **options)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout == "1 sheet on 1 page in 2.pdf, No. 2. Bin No. 1.\n"
    old = backtime("sheet", "1.json", "--pdf", "1.pdf", "--wall", cwd=tmp_path, **options)
    assert old.stdout == "The wall sheet on 1 page in 1.pdf, No. 1.\n"
    assert old.stderr == "No. 2 is on the wall: go by that, bin this.\n"
    said = PdfReader(tmp_path / "1.pdf").pages[0].extract_text()
    assert "No. 2 is on the wall" in said


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--paper", "a3"), "it goes with --pdf FILE"),
        (("--wall",), "it goes with --pdf FILE"),
        (("--pdf", "x.pdf", "--paper", "a5"), "'a5' is not one of 'a4', 'a3', 'letter'"),
        (("--pdf", "x.pdf", "--wall", "--section", "stove"), "every section and day"),
        (("--pdf", "x.pdf", "--section", "pastry"), "There is no section 'pastry'."),
        (("--pdf", "x.pdf", "--address", "kitchen:8470"), "Maybe 'http://kitchen:8470'."),
        (("--pdf", "no/x.pdf"), "cannot be written"),
        (("--pdf", "x.pdf", "--ics", "x.ics", "--person", "ada"), "One file at a time"),
    ],
)
def test_paper_that_cannot_be_printed_is_refused_plainly(
    plan: Path, options: tuple[str, ...], said: str
) -> None:
    refused(plan, options, said, "*.pdf")


def test_a_plan_becomes_a_workbook_with_the_record_of_the_book(tmp_path: Path) -> None:
    where = str(tmp_path / "book.sqlite")
    (tmp_path / "1.json").write_text(text(), encoding="utf-8")
    ran = backtime("sheet", "1.json", "--xlsx", "a.xlsx", cwd=tmp_path, BACKTIME_DB=where)
    assert (ran.returncode, ran.stdout) == (0, "Plan, sheets and quantities in a.xlsx.\n")
    book = open_book(where)
    stocked(book)
    note = Entry("a-b-c-d-e-f", "hut-supper", "soup.1", None, "note", {"text": "=1"}, START)
    enter(book, COOK, note)
    book.close()
    ran = backtime("sheet", "1.json", "--xlsx", "b.xlsx", cwd=tmp_path, BACKTIME_DB=where)
    assert ran.stdout == "Plan, sheets and quantities in b.xlsx, and 1 entry of the record.\n"
    assert load_workbook(tmp_path / "a.xlsx").sheetnames == ["Plan", "Sheets", "Quantities"]
    assert load_workbook(tmp_path / "b.xlsx")["Record"]["I2"].value is None
    wrong = backtime("sheet", "1.json", "--xlsx", "c.xlsx", "--day", "2026-12-04", cwd=tmp_path)
    assert "of the whole plan" in wrong.stderr

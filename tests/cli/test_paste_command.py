"""paste: a table from a spreadsheet is in the book, all of it or nothing."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from scheduler.book.documents import revision
from scheduler.book.opening import open_book
from scheduler.book.place import WHERE
from tests.book.hut import CHEF, WEEK, stocked
from tests.cli.running import backtime, environment
from tests.pasted.tables import filled


@pytest.fixture
def where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A book with the hut's supper, which commands find."""
    file = str(tmp_path / "book.sqlite")
    monkeypatch.setenv(WHERE, file)
    book = open_book(file)
    stocked(book)
    book.close()
    return file


def number(where: str, kind: str, id: str) -> int:
    book = open_book(where)
    try:
        return revision(book, CHEF, kind, id).number  # type: ignore[arg-type]
    finally:
        book.close()


def body(where: str, kind: str, id: str) -> dict[str, object]:
    book = open_book(where)
    try:
        return revision(book, CHEF, kind, id).body or {}  # type: ignore[arg-type]
    finally:
        book.close()


def test_counts_of_a_workbook_are_looked_at_first_and_then_saved(
    where: str, tmp_path: Path
) -> None:
    rows = (("What", "l", "Made", "Where"), ("Barley soup", 3, date(2026, 12, 3), "Cold room"))
    (tmp_path / "counts.xlsx").write_bytes(filled(*rows))
    look = backtime("paste", "counts", "counts.xlsx", "--look", cwd=tmp_path)
    assert look.returncode == 0, look.stderr
    assert "on hand added: (id soup-1, component soup, quantity 3 l" in look.stdout
    assert "none saved" in look.stdout
    assert number(where, "week", WEEK) == 1
    ran = backtime("paste", "counts", "counts.xlsx", cwd=tmp_path)
    assert ran.stdout.endswith("Saved: 1 change.\n"), ran.stderr
    (lot,) = body(where, "week", WEEK)["on_hand"]  # type: ignore[misc]
    assert (lot["component"], lot["quantity"]) == ("soup", "3 l")
    again = backtime("paste", "counts", "counts.xlsx", cwd=tmp_path)
    assert again.stdout.splitlines() == [
        "1 lot on hand, in place of 1.", "The book says just that already."
    ]  # fmt: skip
    assert number(where, "week", WEEK) == 2


def test_one_wrong_cell_and_nothing_is_saved(where: str, tmp_path: Path) -> None:
    text = "what\tamount\tmade\nsoup\t3 l\t2026-12-02\nsoop\t3 l\t1.12.2026\n"
    (tmp_path / "counts.txt").write_text(text, encoding="utf-8")
    ran = backtime("paste", "counts", "counts.txt", cwd=tmp_path)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert "counts.txt  A3: there is no component 'soop'. Maybe 'soup'" in ran.stderr
    assert "counts.txt  C3: '1.12.2026' is not a date; write 2026-12-01" in ran.stderr
    assert number(where, "week", WEEK) == 1


def test_what_the_kitchen_cannot_be_is_refused_as_anywhere_else(where: str, tmp_path: Path) -> None:
    text = "who\t2026-12-03\t2026-12-04\nAda\t8-16, 10-20\t\n"
    (tmp_path / "shifts.txt").write_text(text, encoding="utf-8")
    ran = backtime("paste", "shifts", "shifts.txt", "--week", WEEK, cwd=tmp_path)
    assert ran.returncode == 2
    assert "two shifts of ada overlap" in ran.stderr
    assert number(where, "kitchen", "hut") == 1


def test_the_guests_of_an_event_are_in_the_week(where: str, tmp_path: Path) -> None:
    (tmp_path / "guests.txt").write_text("event\tguests\nsupper\t120.5\n", encoding="utf-8")
    ran = backtime("paste", "guests", "guests.txt", cwd=tmp_path)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert "guests.txt  B2: '120.5' is no whole number" in ran.stderr
    (tmp_path / "guests.txt").write_text("event\tguests\nsupper\t121\n", encoding="utf-8")
    ran = backtime("paste", "guests", "guests.txt", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    (supper,) = body(where, "week", WEEK)["events"]  # type: ignore[misc]
    assert supper["guests"] == 121


def test_shifts_come_in_by_a_pipe(where: str, tmp_path: Path) -> None:
    text = "who\t2026-12-03\t2026-12-04\nAda\toff\t8-23:30\n"
    ran = subprocess.run(
        [sys.executable, "-P", "-m", "scheduler.cli", "paste", "shifts", "-"], cwd=tmp_path,
        env=environment(), input=text.encode(), capture_output=True, check=False, timeout=120,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    (ada,) = body(where, "kitchen", "hut")["people"]  # type: ignore[misc]
    assert ada["off"] == ["2026-12-03"]


def test_a_list_of_ingredients_is_in_its_recipe(where: str, tmp_path: Path) -> None:
    text = "recipe\tingredient\tamount (g)\nBarley soup\tPearl barley\t500\n\tonions\t250\n"
    (tmp_path / "soup.txt").write_text(text, encoding="utf-16")
    ran = backtime("paste", "ingredients", "soup.txt", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    (step,) = body(where, "component", "soup")["steps"]  # type: ignore[misc]
    assert [t["ingredient"] for t in step["takes"]] == ["pearl-barley", "onions"]


def test_a_recipe_is_written_from_nothing_or_told_by_row_and_not_at_all(
    where: str, tmp_path: Path
) -> None:
    head = "recipe\tstep\ttime\tat most\tpeople\tequipment\tsection\tmakes\tkeeps\tkept in\n"
    rest = "\t\t1\t\tstove\t2 kg\t3 d\tchilled\n"
    file = tmp_path / "jam.txt"
    file.write_text(f"{head}Onion jam\tCook\t2 h\t1 h{rest[1:]}", encoding="utf-8")
    ran = backtime("paste", "recipes", "jam.txt", "--look", cwd=tmp_path)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert "jam.txt  row 2: step cook, time: the range is upside down" in ran.stderr
    file.write_text(f"{head}Onion jam\tCook\t2 h{rest}", encoding="utf-8")
    look = backtime("paste", "recipes", "jam.txt", "--look", cwd=tmp_path)
    assert "recipe onion-jam: new" in look.stdout, look.stderr
    assert "nothing goes in yet: onion-jam" in look.stdout
    assert "none saved" in look.stdout
    ran = backtime("paste", "recipes", "jam.txt", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    jam = body(where, "component", "onion-jam")
    assert (jam["name"], jam["makes"]) == ("Onion jam", "2 kg")
    assert jam["steps"] == [
        {"id": "cook", "name": "Cook", "time": {"at_least": "2 h"}, "hands": [{}]}
    ]


@pytest.mark.usefixtures("where")
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("counts", "none.xlsx"), "none.xlsx cannot be read (no such file or directory)."),
        (("counts", "bytes.txt"), "is neither a workbook nor text in UTF-8"),
        (("counts", "fake.xlsx"), "it is no .xlsx"),
        (("counts", "good.txt", "--page", "One"), "so it has no page 'One'"),
        (("counts", "good.txt", "--week", "nono"), "no week 'nono'"),
        (("prices", "good.txt"), "'prices' is not one of 'guests', 'counts', 'shifts'"),
    ],
)
def test_what_cannot_be_pasted_is_said_in_a_sentence(
    tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    (tmp_path / "bytes.txt").write_bytes(b"a\tb\n\xff\xfa\x80")
    (tmp_path / "fake.xlsx").write_text("a\tb", encoding="utf-8")
    (tmp_path / "good.txt").write_text("a\tb", encoding="utf-8")
    ran = backtime("paste", *arguments, cwd=tmp_path)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert said in " ".join(ran.stderr.split())
    assert "Traceback" not in ran.stderr

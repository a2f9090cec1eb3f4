"""The wall and the record from the command line: what cooks see, and what they have said."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.book.documents import save
from scheduler.book.opening import open_book
from scheduler.book.place import WHERE
from scheduler.book.record import Entry, enter
from scheduler.book.revisions import Change
from tests.book.hut import CHEF, COOK, WEEK, later, lying, stocked, text
from tests.book.people import START
from tests.cli.running import backtime
from tests.plan import tiny


@pytest.fixture
def where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A book with the hut's supper, which commands find, and two plans beside it."""
    file = str(tmp_path / "book.sqlite")
    monkeypatch.setenv(WHERE, file)
    book = open_book(file)
    stocked(book)
    book.close()
    (tmp_path / "one.json").write_text(text(), encoding="utf-8")
    (tmp_path / "two.json").write_text(text(later(45)), encoding="utf-8")
    return file


def test_a_plan_goes_up_is_replaced_is_looked_at_and_comes_down(where: str, tmp_path: Path) -> None:
    def said(*arguments: str) -> str:
        ran = backtime(*arguments, cwd=tmp_path)
        assert (ran.returncode, ran.stderr) == (0, "")
        return ran.stdout

    assert said("wall") == "Nothing hangs on the wall now.\n"
    assert said("wall", "one.json") == f"Plan 1 of {WEEK} is on the wall.\n"
    assert said("wall", "one.json") == f"Plan 1 of {WEEK} is on the wall already.\n"
    assert said("wall", "two.json") == f"Plan 2 of {WEEK} is on the wall. Bin plan 1.\n"
    assert f"Supper at the hut ({WEEK}): plan 2\n  up since " in said("wall")
    assert said("wall", "--at", "2020-05-05 10:00") == (
        "Nothing hung on the wall on Tue 5 May 10:00.\n"
    )
    week = dict(tiny.DOCUMENT["week"], name="Supper in the valley")
    book = open_book(where)
    save(book, CHEF, [Change("week", WEEK, week, 1)])
    book.close()
    assert "made from an older state of the book: 1 change since." in said("wall")
    assert said("wall", "--down") == f"Plan 2 of {WEEK} is off the wall; bin it.\n"
    assert said("wall") == "Nothing hangs on the wall now.\n"


def test_a_record_is_printed_as_a_log_with_who_when_and_what_was_corrected(
    where: str, tmp_path: Path
) -> None:
    assert backtime("record", WEEK, cwd=tmp_path).stdout == (
        f"Nothing has been entered for {WEEK}. That nothing is entered is not late.\n"
    )
    assert backtime("wall", "one.json", cwd=tmp_path).returncode == 0
    book = open_book(where, lambda: START)
    for id, value, corrects in (("a", "36", None), ("b", "63", "a")):
        body = {"what": "core", "value": value, "unit": "°C"}
        enter(book, COOK, Entry(id, WEEK, "soup.1", "soup.1/simmer", "measured", body, START,
                                corrects=corrects))  # fmt: skip
    enter(book, COOK, Entry("c", WEEK, "soup.1", "soup.1/strain", "done", {}, START))
    book.close()
    # 04:00 UTC on a day in May is 06:00 in Vienna.
    assert backtime("record", WEEK, cwd=tmp_path).stdout == (
        "Tue 5 May\n"
        "    1  06:00  Ada  Barley soup (soup.1/simmer): core 36 °C\n"
        "    2  06:00  Ada  Barley soup (soup.1/simmer): core 63 °C; corrects 1\n"
        "    3  06:00  Ada  Barley soup (soup.1/strain): done; in no plan of this week\n"
        "Local food and labour codes and licensed practice decide, not this plan.\n"
    )


@pytest.mark.usefixtures("where")
def test_what_cannot_go_up_is_said_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "bad.json").write_text(lying(later(300)), encoding="utf-8")
    other = dict(tiny.DOCUMENT, week=dict(tiny.DOCUMENT["week"], id="another"))
    strange = text(scenario=tiny.scenario(other))
    (tmp_path / "strange.json").write_text(strange, encoding="utf-8")
    for arguments, code, says in (
        (("wall", "bad.json"), 1, "This plan does not go on the wall: "),
        (("wall", "strange.json"), 2, "The book has no week 'another' in kitchen 'hut'."),
        (("wall", "none.json"), 2, "there is no such file"),
        (("wall", "--down"), 2, "Nothing is on the wall."),
        (("wall", "--at", "Tuesday"), 2, "--at: 'Tuesday' is not a moment."),
        (("record", "hut-super"), 2, "Maybe 'hut-supper'."),
    ):
        ran = backtime(*arguments, cwd=tmp_path)
        assert (ran.returncode, ran.stdout) == (code, ""), arguments
        assert says in ran.stderr
        assert ran.stderr.count("\n") == 1


@pytest.mark.usefixtures("where")
def test_options_that_do_not_go_together_are_refused(tmp_path: Path) -> None:
    for arguments in (("one.json", "--down"), ("--down", "--at", "2026-05-05 10:00")):
        ran = backtime("wall", *arguments, cwd=tmp_path)
        assert ran.returncode == 2
    assert backtime("wall", cwd=tmp_path).stdout == "Nothing hangs on the wall now.\n"


def test_a_plan_for_an_empty_book_says_to_import_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(WHERE, str(tmp_path / "new.sqlite"))
    (tmp_path / "one.json").write_text(text(), encoding="utf-8")
    ran = backtime("wall", "one.json", cwd=tmp_path)
    assert ran.returncode == 2
    assert "`backtime import FOLDER`" in ran.stderr

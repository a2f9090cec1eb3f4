"""The wall and the record from the command line: what cooks see, and what they have said."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.book.documents import save
from scheduler.book.opening import Book, open_book
from scheduler.book.place import WHERE
from scheduler.book.plans import KeptPlan, keep
from scheduler.book.record import Entry, enter
from scheduler.book.revisions import Change
from scheduler.book.roles import Who
from scheduler.book.wall import put_up
from scheduler.commands.wall import put_on_wall
from tests.book.hut import CHEF, COOK, SOUS, WEEK, later, lying, stocked, text
from tests.book.people import START, staffed
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
        (("wall", "strange.json"), 2, "The book has no week 'another'. There is hut-supper."),
        (("wall", "none.json"), 2, "there is no such file"),
        (("wall", "--down"), 2, "Nothing is on the wall."),
        (("wall", "--at", "Tuesday"), 2, "--at: 'Tuesday' is not a moment."),
        (("wall", "--week", "nonsense"), 2, "The book has no week 'nonsense'."),
        (("wall", "--week", "hut-super", "--kitchen", "hut"), 2, "Maybe 'hut-supper'."),
        (("wall", "--down", "--week", "nonsense"), 2, "The book has no week 'nonsense'."),
        (("record", "hut-super"), 2, "Maybe 'hut-supper'."),
    ):
        ran = backtime(*arguments, cwd=tmp_path)
        assert (ran.returncode, ran.stdout) == (code, ""), arguments
        assert says in ran.stderr
        assert ran.stderr.count("\n") == 1


def test_whoever_is_too_late_hears_that_their_plan_is_kept(
    where: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def quicker(book: Book, who: Who, text: str, replaces: int | None) -> KeptPlan:
        """Keep ours; and before it goes up the sous puts up another."""
        kept = keep(book, who, text, replaces)
        put_up(book, SOUS, keep(book, SOUS, (tmp_path / "two.json").read_text()).number, replaces)
        return kept

    monkeypatch.setattr("scheduler.commands.wall.keep", quicker)
    assert put_on_wall(tmp_path / "one.json") == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "by now bela put up plan 2" in said.err
    assert said.err.endswith(
        "The wall was left as it is; look at it and decide again. Yours is kept in the book, as "
        "plan 1.\n"
    )
    assert "plan 2\n" in backtime("wall", cwd=tmp_path).stdout


def test_only_the_kitchen_that_has_the_week_is_meant(where: str, tmp_path: Path) -> None:
    book = open_book(where)
    staffed(book, "annex")
    assert backtime("wall", "one.json", cwd=tmp_path).returncode == 0
    for arguments in (("record", WEEK), ("wall", "--week", WEEK)):
        assert backtime(*arguments, cwd=tmp_path).returncode == 0
    assert "say which: --kitchen annex | hut" in backtime("wall", cwd=tmp_path).stderr
    assert backtime("wall", "--down", "--week", WEEK, cwd=tmp_path).returncode == 0
    # What was entered for a week that is thrown out can still be read.
    enter(book, COOK, Entry("a", WEEK, "soup.1", "soup.1/simmer", "done", {}, START))
    save(book, CHEF, [Change("week", WEEK, None, 1)])
    book.close()
    assert "(soup.1/simmer): done" in backtime("record", WEEK, cwd=tmp_path).stdout
    assert backtime("wall", "--week", WEEK, cwd=tmp_path).returncode == 0


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

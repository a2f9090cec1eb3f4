"""Codes from the command line: the chef makes them before anybody can sign in."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from scheduler.book.codes import holders
from scheduler.book.drafts import keep_draft
from scheduler.book.links import calendar_of
from scheduler.book.opening import open_book
from scheduler.book.place import WHERE
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.sign_in import sign_in, who_is
from tests.book.people import CHEF, staffed
from tests.cli.running import backtime


@pytest.fixture
def where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A book with one kitchen, which commands find."""
    file = str(tmp_path / "book.sqlite")
    monkeypatch.setenv(WHERE, file)
    book = open_book(file)
    staffed(book)
    book.close()
    return file


def test_the_code_that_the_command_says_signs_in(where: str, tmp_path: Path) -> None:
    said = backtime("code", "agnes", "--role", "chef", cwd=tmp_path)
    assert said.returncode == 0
    code = re.match(r"(\d{3} \d{3})\n", said.stdout)
    assert code, said.stdout
    book = open_book(where)
    assert who_is(book, sign_in(book, "hof", "agnes", code[1])).person == "agnes"
    book.close()
    assert "agnes  chef, since" in backtime("code", cwd=tmp_path).stdout


@pytest.mark.usefixtures("where")
def test_what_cannot_be_is_said_in_a_sentence(tmp_path: Path) -> None:
    for arguments, says in (
        (("code", "agnis", "--role", "chef"), "Nobody in hof has the id 'agnis'. Maybe 'agnes'."),
        (("code", "cem"), "Make a chef's code for somebody first."),
        (("code", "cem", "--withdraw"), "cem has no code in hof."),
        (("code", "--kitchen", "hop"), "The book has no kitchen 'hop'. Maybe 'hof'."),
    ):
        said = backtime(*arguments, cwd=tmp_path)
        assert said.returncode == 2
        assert says in said.stderr
        assert said.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--withdraw",), "--withdraw needs PERSON: whose code it is."),
        (("--role", "sous"), "--role needs PERSON: whose code it is."),
        (("cem", "--withdraw", "--role", "sous"), "A code is made with --role or taken away with"),
    ],
)
def test_a_code_that_was_to_be_made_or_withdrawn_is_not_answered_by_a_list(
    where: str, tmp_path: Path, arguments: tuple[str, ...], says: str
) -> None:
    said = backtime("code", *arguments, cwd=tmp_path, COLUMNS="200")
    assert (said.returncode, said.stdout) == (2, "")
    assert says in said.stderr
    book = open_book(where)
    assert holders(book, CHEF) == ()
    book.close()


def test_an_empty_book_says_how_to_begin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(WHERE, str(tmp_path / "new.sqlite"))
    said = backtime("code", cwd=tmp_path)
    assert said.returncode == 2
    assert "`backtime import FOLDER`" in said.stderr


def test_a_draft_of_a_second_kitchen_does_not_make_commands_ask_which(
    where: str, tmp_path: Path
) -> None:
    book = open_book(where)
    keep_draft(book, Who("annex", "agnes", Role.CHEF), "kitchen", {"name": "Annex"})
    book.close()
    assert "Nobody in hof has a code" in backtime("code", cwd=tmp_path).stdout
    assert "annex" not in backtime("book", cwd=tmp_path).stdout


def test_a_book_with_nothing_but_a_draft_says_how_to_begin(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = str(tmp_path / "book.sqlite")
    monkeypatch.setenv(WHERE, file)
    book = open_book(file)
    keep_draft(book, Who("annex", "agnes", Role.CHEF), "kitchen", {})
    book.close()
    said = backtime("code", cwd=tmp_path)
    assert (said.returncode, said.stdout) == (2, "")
    assert said.stderr == f"There is no kitchen in the book {file}: `backtime import FOLDER`.\n"


def test_the_address_of_a_calendar_is_said_and_ends_with_the_code(
    where: str, tmp_path: Path
) -> None:
    here = {"BACKTIME_ADDRESS": "http://kitchen.example:8470"}
    none = backtime("code", "agnes", "--calendar", cwd=tmp_path, **here)
    assert (none.returncode, none.stdout) == (2, "")
    assert "agnes has no code in hof" in none.stderr
    backtime("code", "agnes", "--role", "chef", cwd=tmp_path)
    said = backtime("code", "agnes", "--calendar", cwd=tmp_path, **here)
    found = re.match(r"http://kitchen\.example:8470/calendar/(\S+)\.ics\n", said.stdout)
    assert found, said.stderr
    book = open_book(where)
    assert calendar_of(book, found[1]) == ("hof", "agnes")
    book.close()
    unsaid = backtime("code", "agnes", "--calendar", cwd=tmp_path, BACKTIME_ADDRESS="")
    assert (unsaid.returncode, unsaid.stdout) == (2, "")
    assert "BACKTIME_ADDRESS=http://NAME:PORT" in unsaid.stderr
    wrong = backtime("code", "--calendar", cwd=tmp_path)
    assert "--calendar needs PERSON" in wrong.stderr
    both = backtime("code", "agnes", "--calendar", "--withdraw", cwd=tmp_path)
    assert "only says an address" in " ".join(both.stderr.split())

"""Import, export, backup, restore and the page of the book, as they are typed."""

from __future__ import annotations

import json
import os
import re
import shutil
import sqlite3
import sys
from contextlib import closing
from pathlib import Path

import pytest

from scheduler.book.place import WHERE
from scheduler.domain.finding import find_scenario
from tests.cli.running import backtime


@pytest.fixture(autouse=True)
def where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A place for a book, and for what is noted beside it."""
    file = str(tmp_path / "book.sqlite")
    monkeypatch.setenv(WHERE, file)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return file


def said(*arguments: str, cwd: Path, code: int = 0) -> str:
    """What a command says where it belongs: answers on one stream, complaints on the other."""
    ran = backtime(*arguments, cwd=cwd)
    assert ran.returncode == code, ran.stderr
    assert "Traceback" not in ran.stderr
    return ran.stdout if code == 0 else ran.stderr


def test_the_whole_way_of_a_week_through_the_book(tmp_path: Path, where: str) -> None:
    assert "There is no book yet" in said("book", cwd=tmp_path)
    assert not os.path.exists(where)
    assert "week first-week, 6 recipes" in said("import", "first-week", cwd=tmp_path)
    assert "has all of it already" in said("import", "first-week", cwd=tmp_path)
    page = said("book", cwd=tmp_path)
    assert "corner-house: 6 recipes" in page
    assert "revision 1, 0 plans, nothing on the wall" in page
    assert "Not backed up from this machine yet" in page
    assert "3 files, 3 with the text" in said("export", "first-week", "out", cwd=tmp_path)
    assert "nothing had to be written" in said("export", "first-week", "out", cwd=tmp_path)
    assert "No codes and no sign-ins are inside" in said("backup", "a.zip", cwd=tmp_path)
    assert str(tmp_path / "a.zip") in said("book", cwd=tmp_path)
    os.remove(where)
    assert "Restored to" in said("restore", "a.zip", cwd=tmp_path)
    assert "corner-house: 6 recipes" in said("book", cwd=tmp_path)
    assert "is not empty" in said("restore", "a.zip", cwd=tmp_path, code=2)
    (tmp_path / "a.zip").unlink()
    assert "not there any more" in said("book", cwd=tmp_path)


@pytest.mark.skipif(sys.platform != "linux", reason="file names are text elsewhere")
def test_a_file_name_that_is_no_text_is_backed_up_and_exported_to_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book, file, folder = (os.fsdecode(n) for n in (b"b\xff.sqlite", b"a\xff.zip", b"o\xff"))
    monkeypatch.setenv(WHERE, str(tmp_path / book))
    assert "week first-week, 6 recipes" in said("import", "first-week", cwd=tmp_path)
    assert "Written to a?.zip" in said("backup", file, cwd=tmp_path)
    page = said("book", cwd=tmp_path)
    assert "a?.zip" in page
    assert "not there any more" not in page
    assert "3 files" in said("export", "first-week", folder, cwd=tmp_path)
    assert "has all of it already" in said("import", folder, cwd=tmp_path)
    monkeypatch.setenv(WHERE, str(tmp_path / "other.sqlite"))
    assert "Restored to" in said("restore", file, cwd=tmp_path)


def test_a_code_that_was_withdrawn_since_is_said_to_be_valid_again_by_restoring(
    tmp_path: Path, where: str
) -> None:
    said("import", "first-week", cwd=tmp_path)
    chef, cook = "ines", "marek"
    said("code", chef, "--role", "chef", cwd=tmp_path)
    said("code", cook, cwd=tmp_path)
    said("backup", "a.zip", "--with-secrets", cwd=tmp_path)
    said("code", cook, "--withdraw", cwd=tmp_path)
    os.remove(where)
    told = said("restore", "a.zip", cwd=tmp_path)
    assert "Everybody is signed out." in told
    assert re.search(
        rf"Valid again in corner-house, as on .* UTC: .*{cook} \(cook, code of .* UTC\).*"
        r"backtime code PERSON --withdraw",
        told,
    )
    assert "signed out everywhere" in said("code", cook, "--withdraw", cwd=tmp_path)


def test_a_backup_of_a_damaged_book_is_no_good_backup_and_says_so(
    tmp_path: Path, where: str
) -> None:
    said("import", "first-week", cwd=tmp_path)
    said("backup", "good.zip", cwd=tmp_path)
    with closing(sqlite3.connect(where)) as book:
        book.execute("UPDATE revisions SET body = '{}' WHERE id = 'pea-soup'")
        book.commit()
    told = said("backup", "bad.zip", cwd=tmp_path, code=1)
    assert "Damaged in the book, and so in this backup: recipe pea-soup (revision 1)" in told
    page = said("book", cwd=tmp_path)
    assert "good.zip" in page, "the last good one"
    assert "recipe pea-soup (revision 1) is damaged in the book" in page
    assert "recipe pea-soup" in said("export", "first-week", "out", cwd=tmp_path, code=2)
    assert not (tmp_path / "out").exists()
    os.remove(where)
    assert "pea-soup (revision 1)" in said("restore", "bad.zip", cwd=tmp_path, code=1)


def test_a_week_of_the_book_is_a_scenario_for_every_command(tmp_path: Path) -> None:
    said("import", "first-week", cwd=tmp_path)
    work = said("work", "first-week", cwd=tmp_path)
    for name in ("stored:first-week", "stored:corner-house/first-week"):
        assert said("work", name, cwd=tmp_path) == work
    said("plan", "stored:first-week", "--seconds", "1", cwd=tmp_path)
    plan = json.loads((tmp_path / "first-week.plan.json").read_text("utf-8"))
    assert plan["scenario"]["week"]["id"] == "first-week"
    # A plan of the week in the book is one of the folder that it came from.
    for name in ("first-week", "stored:first-week"):
        said("check", name, "first-week.plan.json", cwd=tmp_path)
    said("plan", "stored:first-week", "first-week", "--seconds", "1", cwd=tmp_path)
    made = sorted(p.parent.name for p in (tmp_path / "plans").glob("*/*.plan.json"))
    assert len(made) == 2
    assert not any(":" in name for name in made)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("import", "no-such-folder"), "no such folder"),
        (("import", "frist-week"), "first-week"),
        (("import", "file"), "a file, not a folder"),
        (("import", "stored:first-week"), "has no folder"),
        (("export", "frist-week", "out"), "Maybe 'first-week'"),
        (("export", "first-week", "file"), "is a file, not a folder"),
        (("export", "first-week", "no/folder"), "no folder"),
        (("export", "frist-week", "out", "--kitchen", "corner-house"), "Maybe 'first-week'"),
        (("export", "first-week", "out", "--kitchen", "corner-hose"), "Maybe 'corner-house'"),
        (("work", "stored:frist-week"), "Maybe 'first-week'"),
        (("work", "stored:corner-hose/first-week"), "Maybe 'corner-house'"),
        (("work", "stored:"), "no week ''"),
        (("backup", "file"), "is there already"),
        (("restore", "file"), "is no zip"),
        (("restore", "none.zip"), "no such file"),
    ],
)
def test_what_cannot_be_is_said_in_a_line(
    tmp_path: Path, arguments: tuple[str, ...], says: str
) -> None:
    (tmp_path / "file").write_text("mine")
    said("import", "first-week", cwd=tmp_path)
    told = said(*arguments, cwd=tmp_path, code=2)
    assert says in told
    assert len(told.splitlines()) == 1
    assert (tmp_path / "file").read_text() == "mine"


def test_an_export_into_no_folder_does_not_fill_the_one_somebody_is_in(tmp_path: Path) -> None:
    said("import", "first-week", cwd=tmp_path)
    (tmp_path / "empty").mkdir()
    for name in ("", " "):
        told = said("export", "first-week", name, cwd=tmp_path / "empty", code=2)
        assert "FOLDER has no name; this folder is '.'." in told
    assert os.listdir(tmp_path / "empty") == []


@pytest.mark.parametrize(
    "arguments",
    [
        ("export", "first-week", "out"), ("backup", "a.zip"), ("work", "stored:first-week"),
        ("code",),
    ],
)
def test_without_a_book_it_is_said_how_one_begins(
    tmp_path: Path, where: str, arguments: tuple[str, ...]
) -> None:
    told = said(*arguments, cwd=tmp_path, code=2)
    assert re.search(r"no book yet\. It begins with the first `backtime import FOLDER`", told)
    assert os.listdir(tmp_path) == []


def test_an_import_over_newer_revisions_shows_what_would_change(tmp_path: Path) -> None:
    shutil.copytree(find_scenario("first-week"), tmp_path / "mine")
    shutil.copytree(find_scenario("first-week"), tmp_path / "old")
    said("import", "mine", cwd=tmp_path)
    recipes = tmp_path / "mine" / "recipes.yaml"
    recipes.write_text(recipes.read_text("utf-8").replace("makes: 6 l", "makes: 8 l"), "utf-8")
    assert "recipe pea-soup, makes: 6 l -> 8 l" in said("import", "mine", cwd=tmp_path)
    ran = backtime("import", "old", cwd=tmp_path)
    assert ran.returncode == 2
    assert "recipe pea-soup, makes: 8 l -> 6 l" in ran.stdout
    assert "--over" in ran.stderr
    assert "makes: 8 l -> 6 l" in said("import", "old", "--over", cwd=tmp_path)


def test_two_kitchens_with_a_week_of_one_name_are_told_apart(tmp_path: Path) -> None:
    said("import", "first-week", cwd=tmp_path)
    shutil.copytree(find_scenario("first-week"), tmp_path / "b")
    kitchen = tmp_path / "b" / "kitchen.yaml"
    kitchen.write_text(kitchen.read_text("utf-8").replace("corner-house", "annex"), "utf-8")
    said("import", "b", cwd=tmp_path)
    assert "annex or corner-house" in said("work", "stored:first-week", cwd=tmp_path, code=2)
    said("work", "stored:annex/first-week", cwd=tmp_path)
    assert "annex or corner-house" in said("export", "first-week", "o", cwd=tmp_path, code=2)
    said("export", "first-week", "o", "--kitchen", "annex", cwd=tmp_path)
    assert "annex" in (tmp_path / "o" / "kitchen.yaml").read_text("utf-8")

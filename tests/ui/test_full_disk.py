"""The disk of the book is full: every page says so, and what was typed is not lost."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

import pytest
from sqlalchemy import Engine, event
from sqlalchemy.exc import OperationalError
from streamlit.testing.v1 import AppTest

from scheduler.book.documents import revision
from scheduler.book.drafts import drafts
from scheduler.book.opening import Book
from tests.ui.conftest import Opened
from tests.ui.test_editing_pages import ME, document_text, edit, press, said, typing
from ui.editing.begun import begun


class Disk:
    """Takes nothing more while it is full."""

    full = False


@pytest.fixture
def disk() -> Iterator[Disk]:
    one = Disk()

    def write(_c: Any, _k: Any, statement: str, *_: Any) -> None:
        if one.full and statement.lstrip().upper().startswith(("INSERT", "UPDATE", "DELETE")):
            raise OperationalError(
                statement, None, sqlite3.OperationalError("database or disk is full")
            )

    event.listen(Engine, "before_cursor_execute", write)
    yield one
    event.remove(Engine, "before_cursor_execute", write)


def makes(at: AppTest) -> str:
    return str(next(f for f in at.text_input if f.label == "Makes").value)


def test_a_field_that_cannot_be_kept_stays_as_typed_and_is_kept_later(
    imported: Book, disk: Disk, opened: Opened
) -> None:
    at = opened("recipes", recipe="pea-soup")
    disk.full = True
    typing(at, "Makes", "7 l")
    assert "the disk is full" in said(at)
    assert makes(at) == "7 l"
    typing(at, "Name", "Green soup")
    assert (makes(at), drafts(imported, ME)) == ("7 l", ())
    assert "do not close this page" in said(at)
    press(at, "Save")
    assert "the disk is full" in said(at)
    assert makes(at) == "7 l"
    assert not at.exception
    disk.full = False
    at.run()
    assert not at.error
    assert "also when you close this page" in said(at)
    body = begun(imported, ME, "component", "pea-soup").body
    assert (body["makes"], body["name"]) == ("7 l", "Green soup")
    press(at, "Save")
    assert revision(imported, ME, "component", "pea-soup").body["makes"] == "7 l"


def test_a_table_that_cannot_be_kept_stays_as_typed_and_is_kept_later(
    imported: Book, disk: Disk, opened: Opened
) -> None:
    at = opened("menu")
    disk.full = True
    edit(at, "week first-week", "events", {"edited_rows": {0: {"Guests": "55"}}})
    assert "the disk is full" in said(at)
    at.run()
    disk.full = False
    at.run()
    assert not at.error
    assert begun(imported, ME, "week", "first-week").body["events"][0]["guests"] == 55


def test_a_text_that_cannot_be_kept_stays_as_typed(
    imported: Book, disk: Disk, opened: Opened
) -> None:
    at = opened("recipes", recipe="pea-soup")
    at.toggle[0].set_value(True).run()
    for text in ("id: pea-soup\nmakes: [", str(document_text(at).value).replace("6 l", "7 l")):
        disk.full = True
        document_text(at).set_value(text).run()
        assert "the disk is full" in said(at)
        assert document_text(at).value == text
        disk.full = False


def test_a_recipe_that_cannot_be_begun_keeps_what_was_said_of_it(
    imported: Book, disk: Disk, opened: Opened
) -> None:
    at = opened("recipes")
    at.session_state["new recipe open"] = True
    disk.full = True
    typing(at, "What it is called", "Herb oil")
    press(at, "Begin it")
    assert "the disk is full" in said(at)
    assert next(f for f in at.text_input if f.label == "What it is called").value == "Herb oil"
    assert at.session_state["new recipe open"]


def test_planning_and_the_wall_say_that_the_disk_is_full(
    hung: Book, disk: Disk, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    at = opened()
    disk.full = True
    press(at, "Plan anew")
    assert "the disk is full" in said(at)
    assert not any(b.label.startswith("Stop") for b in at.button)
    disk.full = False

    def none(**_: Any) -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tempfile.mkdtemp", none)
    press(at, "Plan anew")
    assert "no space left on device" in said(at)
    assert "our fault" not in said(at)

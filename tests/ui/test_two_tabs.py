"""One person with a recipe open in two tabs: both have one draft, and neither writes over it."""

from __future__ import annotations

from scheduler.book.documents import revision, save
from scheduler.book.drafts import drafts
from scheduler.book.opening import Book
from scheduler.book.revisions import Change
from tests.ui.conftest import Opened
from tests.ui.test_editing_pages import ME, OTHER, document_text, edit, press, said, typing
from ui.editing.begun import begun


def infos(at: object) -> str:
    return "\n".join(str(i.value) for i in at.info).replace("\\", "")  # type: ignore[attr-defined]


def test_what_the_other_tab_typed_is_not_written_over_by_one_that_has_not_shown_it(
    imported: Book, opened: Opened
) -> None:
    first, second = opened("recipes", recipe="pea-soup"), opened("recipes", recipe="pea-soup")
    typing(first, "Makes", "7 l")
    typing(second, "Makes", "8 l")
    assert "In another tab" in said(second)
    assert begun(imported, ME, "component", "pea-soup").body["makes"] == "7 l"
    assert next(f for f in second.text_input if f.label == "Makes").value == "7 l"
    typing(second, "Makes", "8 l")
    assert begun(imported, ME, "component", "pea-soup").body["makes"] == "8 l"


def test_two_tabs_that_change_different_fields_keep_both_and_the_later_one_says_so(
    imported: Book, opened: Opened
) -> None:
    first, second = opened("recipes", recipe="pea-soup"), opened("recipes", recipe="pea-soup")
    typing(first, "Makes", "7 l")
    typing(second, "Name", "Green soup")
    body = begun(imported, ME, "component", "pea-soup").body
    assert (body["makes"], body["name"]) == ("7 l", "Green soup")
    assert "has been changed meanwhile" in infos(second)
    second.run()
    assert infos(second) == ""


def test_nobody_saves_or_lets_go_what_their_tab_has_not_shown(
    imported: Book, opened: Opened
) -> None:
    first, second = opened("recipes", recipe="pea-soup"), opened("recipes", recipe="pea-soup")
    typing(first, "Makes", "7 l")
    second.run()
    typing(first, "Makes", "9 l")
    for word in ("Save", "Let go what I typed"):
        typing(first, "Makes", f"9.{len(word)} l")
        press(second, word)
        assert "then press again" in said(second)
        assert revision(imported, ME, "component", "pea-soup").number == 1
        assert len(drafts(imported, ME)) == 1
    press(second, "Save")
    assert revision(imported, ME, "component", "pea-soup").body["makes"] == "9.19 l"


def test_a_text_written_over_an_older_version_stays_until_it_is_written_again(
    imported: Book, opened: Opened
) -> None:
    first, second = opened("recipes", recipe="pea-soup"), opened("recipes", recipe="pea-soup")
    second.toggle[0].set_value(True).run()
    typing(first, "Makes", "7 l")
    text = str(document_text(second).value).replace("6 l", "8 l")
    document_text(second).set_value(text).run()
    assert "In another tab" in said(second)
    assert document_text(second).value == text
    assert begun(imported, ME, "component", "pea-soup").body["makes"] == "7 l"
    document_text(second).set_value(text + "\n").run()
    assert begun(imported, ME, "component", "pea-soup").body["makes"] == "8 l"


def test_two_tabs_that_type_into_one_table_keep_both_rows(
    imported: Book, opened: Opened
) -> None:
    first, second = opened("menu"), opened("menu")
    edit(first, "week first-week", "events", {"edited_rows": {0: {"Guests": "55"}}})
    edit(second, "week first-week", "events", {"edited_rows": {0: {"Event": "Late supper"}}})
    event = begun(imported, ME, "week", "first-week").body["events"][0]
    assert (event["guests"], event["name"]) == (55, "Late supper")


def test_what_somebody_else_has_saved_is_not_changed_unseen(
    imported: Book, opened: Opened
) -> None:
    at = opened("recipes", recipe="pea-soup")
    body = revision(imported, OTHER, "component", "pea-soup").body
    save(imported, OTHER, [Change("component", "pea-soup", dict(body, makes="7 l"), 1)])
    typing(at, "Makes", "8 l")
    assert drafts(imported, ME) == ()
    assert "saved it as revision 2" in said(at) + infos(at)
    assert next(f for f in at.text_input if f.label == "Makes").value == "7 l"


def test_what_is_typed_and_saved_in_one_tab_says_nothing_of_another(
    imported: Book, opened: Opened
) -> None:
    at = typing(opened("recipes", recipe="pea-soup"), "Makes", "7 l")
    typing(at, "Makes", "8 l")
    press(at, "Save")
    assert revision(imported, ME, "component", "pea-soup").body["makes"] == "8 l"
    assert infos(at) == ""
    assert not at.error

"""The pages on which a chef changes menu, recipes, brigade and kitchen."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

import pytest
from streamlit.testing.v1 import AppTest

from scheduler.book.documents import revision, save
from scheduler.book.drafts import drafts
from scheduler.book.opening import Book
from scheduler.book.revisions import Change
from scheduler.book.role import Role
from scheduler.book.roles import Who
from tests.ui.conftest import Opened
from tests.ui.conftest import said as marked
from ui.editing.begun import begun, keep
from ui.editing.paths import put

PAGES = ("menu", "recipes", "brigade", "kitchen")
HOSTILE = "<b>x</b> [y](z) $5 :material/x: 酱汁 " + "w" * 80
OTHER = Who("corner-house", "marek", Role.CHEF)
ME = Who("corner-house", "whoever sits here", Role.CHEF)


def said(at: AppTest) -> str:
    """What a page says, as it is read."""
    return marked(at).replace("\\", "")


def typing(at: AppTest, label: str, text: str) -> AppTest:
    """Type into the first field of that name, and leave it."""
    return next(f for f in at.text_input if f.label == label).set_value(text).run()


def press(at: AppTest, label: str) -> AppTest:
    """Press the button of that name."""
    return next(b for b in at.button if b.label == label).click().run()


def edit(at: AppTest, form: str, path: str, edits: dict[str, Any]) -> AppTest:
    """Type into a table: what its editor would say."""
    places = at.session_state[f"form|{form}|mounted"]
    number = next(m.number for p, m in places.items() if "|".join(map(str, p)) == path)
    full = {"edited_rows": {}, "added_rows": [], "deleted_rows": []} | edits
    at.session_state[f"form|{form}|{path}|table|{number}"] = full
    return at.run()


@pytest.mark.parametrize("page", PAGES)
def test_a_page_opens_and_nothing_is_begun_by_looking(
    imported: Book, opened: Opened, page: str
) -> None:
    at = opened(page, recipe="pea-soup")
    assert not at.exception
    assert [e.value for e in at.error] == []
    assert drafts(imported, ME) == ()
    assert "Saved as revision 1" in said(at)


def test_before_there_is_a_plan_saving_is_told_by_the_kitchens_clock(
    imported: Book, opened: Opened
) -> None:
    saved = revision(imported, ME, "week", "first-week").at.astimezone(ZoneInfo("Europe/Vienna"))
    assert f"Saved as revision 1 by ines, {saved:%a} {saved.day} {saved:%b %Y %H:%M}." in said(
        opened("menu")
    )


def test_counts_are_changed_in_the_table_and_saved(imported: Book, opened: Opened) -> None:
    at = opened("menu")
    edit(at, "week first-week", "events", {"edited_rows": {0: {"Guests": "55"}}})
    assert "not saved yet" in said(at)
    assert revision(imported, ME, "week", "first-week").number == 1
    press(at, "Save")
    saved = revision(imported, ME, "week", "first-week")
    assert (saved.number, saved.body["events"][0]["guests"]) == (2, 55)
    assert "Saved as revision 2" in said(at)


def test_a_bad_count_is_said_by_row_and_column_and_cannot_be_saved(
    imported: Book, opened: Opened
) -> None:
    at = opened("menu")
    edit(at, "week first-week", "events", {"edited_rows": {0: {"Guests": "lots"}}})
    assert "row 1 (supper), Guests: 'lots' is not a whole number" in said(at)
    assert next(b for b in at.button if b.label == "Save").disabled


def test_an_event_is_added_with_its_first_dish(imported: Book, opened: Opened) -> None:
    at = opened("menu")
    for label, text in (("What it is called", HOSTILE), ("First plate", "2027-05-07 19:00")):
        place = [f for f in at.text_input if f.label == label and "event" in str(f.key)]
        place[0].set_value(text)
    next(s for s in at.selectbox if s.label == "First dish").set_value("lemon")
    at.run()
    press(at, "Add it")
    body = begun(imported, ME, "week", "first-week").body
    assert body["events"][1]["menu"] == [{"dish": "lemon"}]
    assert not at.exception
    press(at, "Save")
    assert len(revision(imported, ME, "week", "first-week").body["events"]) == 2


def test_what_is_typed_is_there_after_the_tab_was_closed(imported: Book, opened: Opened) -> None:
    typing(opened("recipes", recipe="pea-soup"), "Makes", "7 ltr")
    at = opened("recipes", recipe="pea-soup")
    assert next(f for f in at.text_input if f.label == "Makes").value == "7 ltr"
    assert "unknown unit 'ltr'" in said(at)
    press(at, "Let go what I typed")
    assert next(f for f in at.text_input if f.label == "Makes").value == "6 l"
    assert drafts(imported, ME) == ()


def test_two_people_on_one_recipe_see_both_versions_and_keep_both_changes(
    imported: Book, opened: Opened
) -> None:
    at = typing(opened("recipes", recipe="pea-soup"), "Makes", "7 l")
    body = revision(imported, OTHER, "component", "pea-soup").body
    save(imported, OTHER, [Change("component", "pea-soup", dict(body, loss="5 %"), 1)])
    at.run()
    words = said(at)
    assert "marek has saved this as revision 2" in words
    assert "6 l" in words
    assert next(b for b in at.button if b.label == "Save").disabled
    press(at, "Put both together")
    press(at, "Save")
    saved = revision(imported, ME, "component", "pea-soup").body
    assert (saved["makes"], saved["loss"]) == ("7 l", "5 %")


def test_a_component_is_written_from_nothing(imported: Book, opened: Opened) -> None:
    at = opened("recipes")
    typing(at, "What it is called", "Herb oil")
    next(s for s in at.selectbox if s.key == "new recipe section").set_value("larder")
    typing(at, "How much it makes", "1 l")
    press(at, "Begin it")
    assert "at least one row is needed here" in said(at)
    keeps = {"added_rows": [{"In a store that is": "chilled", "At most": "3 d"}]}
    edit(at, "component herb-oil", "keeps", keeps)
    steps = {"added_rows": [{"Step": "blend", "Takes at least": "20 min"}]}
    edit(at, "component herb-oil", "steps", steps)
    edit(at, "component herb-oil", "steps|0|hands", {"added_rows": [{"People": "1"}]})
    assert not at.exception
    press(at, "Save")
    saved = revision(imported, ME, "component", "herb-oil").body
    assert saved["steps"] == [{"id": "blend", "time": {"at_least": "20 min"}, "hands": [{}]}]


def test_a_recipe_in_use_is_not_thrown_out_and_the_reason_is_said(
    imported: Book, opened: Opened
) -> None:
    at = press(opened("recipes", recipe="pea-soup"), "Throw it out")
    assert "cannot be thrown out: it is in dish cold-soup" in said(at)
    assert revision(imported, ME, "component", "pea-soup").body is not None


def test_a_recipe_is_scaled_and_a_bad_amount_is_said(imported: Book, opened: Opened) -> None:
    at = opened("recipes", recipe="lamb")
    assert "0.85" not in _frames(at)
    assert "8.5 kg" in _frames(typing(at, "For how much", "50 portions"))
    assert "has no unit" in said(typing(at, "For how much", "50"))


def test_the_text_of_a_recipe_says_line_and_column_and_waits_when_it_cannot_be_read(
    imported: Book, opened: Opened
) -> None:
    at = opened("recipes", recipe="pea-soup")
    at.toggle[0].set_value(True).run()
    text = document_text(at).value
    assert text.startswith("id: pea-soup\n")
    document_text(at).set_value(text.replace("6 l", "6 x", 1)).run()
    assert "line 3, column 8" in said(at)
    document_text(at).set_value("id: [").run()
    assert "line 1, column 6: not YAML" in said(at)
    assert document_text(at).value == "id: ["
    document_text(at).set_value(text.replace("6 l", "8 l", 1)).run()
    assert begun(imported, ME, "component", "pea-soup").body["makes"] == "8 l"


def test_a_day_off_is_given_with_a_cell_and_a_button(imported: Book, opened: Opened) -> None:
    at = opened("brigade")
    key = "form|kitchen corner-house|roster"
    at.session_state[key] = {"selection": {"rows": [], "columns": [], "cells": [(0, "Fri 7 May")]}}
    at.run()
    assert "ines, Fri 7 May" in said(at)
    press(at, "Off")
    ines = begun(imported, ME, "kitchen", "corner-house").body["people"][0]
    assert ines["off"] == ["2027-05-07"]
    assert ines["shifts"][0]["days"] == ["daily"]


def test_a_store_of_no_size_is_said_under_the_table(imported: Book, opened: Opened) -> None:
    at = opened("kitchen")
    edit(at, "kitchen corner-house", "stores", {"edited_rows": {0: {"Shelves": "0"}}})
    assert "row 1 (walk-in), Shelves: '0' must be more than 0" in said(at)


def test_typing_into_a_step_that_another_tab_took_out_says_so(
    imported: Book, opened: Opened
) -> None:
    at = opened("recipes", recipe="pea-soup", step="chill")
    one = begun(imported, ME, "component", "pea-soup")
    keep(imported, ME, one, put(one.body, ("steps",), one.body["steps"][:1]))
    next(f for f in at.text_input if f.key.endswith("steps|1|time|at_most")).set_value("9 h").run()
    assert "In another tab, or by somebody under your name" in said(at)
    assert not at.exception


@pytest.mark.parametrize("page", PAGES)
def test_a_sous_may_look_and_not_change(
    imported: Book, opened: Opened, monkeypatch: pytest.MonkeyPatch, page: str
) -> None:
    monkeypatch.setattr("ui.arriving.sitting_here", lambda _, k, who: Who(k, who, Role.SOUS))
    at = opened(page, recipe="pea-soup")
    assert not at.exception
    assert "changing it takes a chef" in said(at)
    assert not [b for b in at.button if b.label in ("Save", "Add it", "Throw it out", "Begin it")]
    shown = [f for f in at.text_input if f.label not in ("Find", "For how much")]
    assert all(f.disabled for f in shown)


def test_names_of_any_kind_break_no_page(imported: Book, opened: Opened) -> None:
    for kind, id, path in (
        ("week", "first-week", ("events", 0, "name")), ("component", "pea-soup", ("name",)),
        ("kitchen", "corner-house", ("people", 0, "name")),
    ):  # fmt: skip
        one = begun(imported, ME, kind, id)  # type: ignore[arg-type]
        keep(imported, ME, one, put(one.body, path, HOSTILE))
    for page in PAGES:
        at = opened(page, recipe="pea-soup")
        assert not at.exception
        assert "[y](z)" not in "\n".join(str(m.value) for m in at.markdown)


def _frames(at: AppTest) -> str:
    return "\n".join(frame.value.to_string() for frame in at.dataframe)


def document_text(at: AppTest) -> Any:
    """The field with the whole document as text."""
    return next(a for a in at.text_area if a.label.startswith("The document as it would stand"))

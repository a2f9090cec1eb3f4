"""Tables that are pasted on the pages: said first, then in the form or saved, or told by cell."""

from __future__ import annotations

from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from scheduler.book.documents import heads, revision, save
from scheduler.book.drafts import drafts
from scheduler.book.listing import weeks
from scheduler.book.opening import Book
from scheduler.book.revisions import Change
from scheduler.book.role import Role
from scheduler.book.roles import Who
from tests.pasted.tables import filled
from tests.ui.conftest import Opened
from tests.ui.test_editing_pages import HOSTILE, OTHER, said
from ui.editing.begun import begun

ME = Who("corner-house", "whoever sits here", Role.CHEF)
SHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def look(at: AppTest, what: str, text: str) -> AppTest:
    """Paste a table into the box of its kind, and see what it changes."""
    next(a for a in at.text_area if f"of {what}," in a.label).set_value(text)
    return look_again(at, what)


def look_again(at: AppTest, what: str) -> AppTest:
    key = f"paste|{what} look" if what in ("guests", "counts", "shifts") else f"paste {what} look"
    return next(b for b in at.button if b.key.endswith(key)).click().run()


def press(at: AppTest, label: str) -> AppTest:
    return next(b for b in at.button if b.label == label).click().run()


def wrong(at: AppTest) -> str:
    return "\n".join(str(e.value) for e in at.error).replace("\\", "")


def week_of(book: Book) -> Any:
    return begun(book, ME, "week", "first-week")


def test_guests_are_said_first_then_in_the_form_and_saved_when_somebody_saves(
    imported: Book, opened: Opened
) -> None:
    at = look(opened("menu"), "guests", "Event\tGuests\tRoom\nsupper\t64\tHall\n")
    assert wrong(at) == ""
    assert "Other numbers for 1 event of 1." in said(at)
    assert "event supper, guests: 40 -> 64" in said(at)
    assert "Not used: C1 'Room'." in said(at)
    assert drafts(imported, ME) == ()
    press(at, "Put it in")
    assert week_of(imported).body["events"][0]["guests"] == 64
    assert revision(imported, ME, "week", "first-week").number == 1
    assert all(not a.value for a in at.text_area)
    press(at, "Save")
    assert revision(imported, ME, "week", "first-week").body["events"][0]["guests"] == 64


def test_a_wrong_cell_is_told_under_the_table_and_corrected_there(
    imported: Book, opened: Opened
) -> None:
    at = look(opened("menu"), "guests", "event\tguests\nsuper\t120.5\n")
    assert "A2: there is no event 'super'. Maybe 'supper'" in wrong(at)
    assert not [b for b in at.button if b.label == "Put it in"]
    at = look(at, "guests", "event\tguests\nsupper\t120.5\n")
    assert wrong(at) == "B2: '120.5' is no whole number"
    at = look(at, "guests", "event\tguests\nsupper\t40\n")
    assert "That is how it stands already." in said(at)
    assert drafts(imported, ME) == ()


def test_what_was_looked_at_is_not_put_in_after_the_text_has_changed(
    imported: Book, opened: Opened
) -> None:
    at = look(opened("menu"), "guests", "event\tguests\nsupper\t64\n")
    next(a for a in at.text_area if "of guests," in a.label).set_value("event\tguests\n").run()
    assert not [b for b in at.button if b.label == "Put it in"]
    assert drafts(imported, ME) == ()


def test_counts_are_on_hand_in_the_form_of_the_week(imported: Book, opened: Opened) -> None:
    (week,) = weeks(imported, ME)
    table = f"what\tl\tmade\npea-soup\t2,5\t{week.starts:%Y-%m-%d}\n"
    at = look(opened("menu", week=week.id), "counts", table)
    assert "1 lot on hand, in place of 0." in said(at)
    press(at, "Put it in")
    (lot,) = week_of(imported).body["on_hand"]
    assert (lot["component"], lot["quantity"]) == ("pea-soup", "2.5 l")


def test_a_roster_is_in_the_form_of_the_kitchen(imported: Book, opened: Opened) -> None:
    at = look(opened("brigade"), "shifts", "who\t2026-12-03\t2026-12-04\nines\t8-16:30\toff\n")
    assert "Shifts of 1 person on 2 days." in said(at)
    assert "The shifts of ines that repeated" in said(at)
    press(at, "Put it in")
    ines = begun(imported, ME, "kitchen", "corner-house").body["people"][0]
    assert "2026-12-04" in ines["off"]
    assert any(s["hours"] == "08:00-16:30" for s in ines["shifts"])
    at = look(opened("brigade"), "shifts", "who\t3.12.2026\t2026-12-04\nnobody\t\t\n")
    assert "B1: '3.12.2026' is not a date; write 2026-12-03" in wrong(at)
    assert "A2: there is no person 'nobody'" in wrong(at)


JAM = "recipe\tstep\ttime\tat most\tpeople\tequipment\tsection\tmakes\tkeeps\tkept in\n"


def test_recipes_are_saved_together_or_told_by_their_rows(imported: Book, opened: Opened) -> None:
    at = opened("recipes")
    one = "Onion jam\tCook\t2 h\t{}\t1\tburner\tlarder\t2 kg\t30 d\tdry\n"
    two = "Oil\tBlend\t20 min\t\t1\t\tlarder\t1 l\t3 d\tchilled\n"
    look(at, "recipes", JAM + one.format("1 h") + two)
    assert "row 2: step cook, time: the range is upside down" in wrong(at)
    look(at, "recipes", JAM + one.format("3 h") + two)
    assert "2 new recipes, 2 steps." in said(at)
    assert "recipe onion-jam: new" in said(at)
    assert len([r for r in heads(imported, ME) if r.kind == "component"]) == 3
    press(at, "Save it")
    assert wrong(at) == ""
    jam = revision(imported, ME, "component", "onion-jam").body
    assert (jam["name"], jam["steps"][0]["on"]) == ("Onion jam", [{"equipment": "burner"}])
    assert revision(imported, ME, "component", "oil").number == 1
    assert drafts(imported, ME) == ()
    assert "### Onion jam" in said(at)


def test_what_goes_into_a_recipe_comes_in_beside_what_somebody_else_saves(
    imported: Book, opened: Opened
) -> None:
    at = opened("recipes", recipe="pea-soup")
    at.radio(key="paste recipes what").set_value("ingredients").run()
    look(at, "ingredients", "recipe\tingredient\tamount\npea-soup\tpeas\t2 kg\n")
    assert "recipe pea-soup, step cook, takes added" in said(at)
    body = revision(imported, OTHER, "component", "pea-soup").body
    save(imported, OTHER, [Change("component", "pea-soup", dict(body, loss="5 %"), 1)])
    press(at, "Save it")
    assert "was saved by marek (revision 2" in wrong(at)
    look_again(at, "ingredients")
    press(at, "Save it")
    saved = revision(imported, ME, "component", "pea-soup").body
    assert (saved["loss"], saved["steps"][0]["takes"]) == (
        "5 %", [{"ingredient": "peas", "amount": "2 kg"}]
    )  # fmt: skip


def test_a_workbook_comes_in_by_its_page_and_what_is_none_is_told(
    imported: Book, opened: Opened
) -> None:
    at = opened("menu")
    box = next(f for f in at.file_uploader if "paste|guests" in f.key)
    box.set_value(("photo.xlsx", b"\xff\xd8\xff\xe0 a picture", SHEET)).run()
    assert wrong(at) == "it is no .xlsx"
    raw = filled(("event", "guests"), ("supper", 71), title="Numbers")
    box = next(f for f in at.file_uploader if "paste|guests" in f.key)
    box.set_value(("guests.xlsx", raw, SHEET)).run()
    look_again(at, "guests")
    press(at, "Put it in")
    assert week_of(imported).body["events"][0]["guests"] == 71


def test_of_a_workbook_with_several_pages_one_is_chosen(imported: Book, opened: Opened) -> None:
    from io import BytesIO

    from openpyxl import load_workbook

    book = load_workbook(BytesIO(filled(("nothing",), title="Cover")))
    page = book.create_sheet("Numbers")
    page.append(["event", "guests"])
    page.append(["supper", 72])
    out = BytesIO()
    book.save(out)
    at = opened("menu")
    box = next(f for f in at.file_uploader if "paste|guests" in f.key)
    box.set_value(("guests.xlsx", out.getvalue(), SHEET)).run()
    choice = next(s for s in at.selectbox if s.label == "Page")
    assert choice.options == ["Cover", "Numbers"]
    look_again(at, "guests")
    assert "no row has the headings" in wrong(at)
    next(s for s in at.selectbox if s.label == "Page").set_value("Numbers").run()
    press(look_again(at, "guests"), "Put it in")
    assert week_of(imported).body["events"][0]["guests"] == 72


@pytest.mark.parametrize(
    ("what", "text", "told"),
    [
        ("guests", "", "there is nothing in it yet"),
        ("guests", " \t\n\t", "there is nothing in it yet"),
        ("guests", "supper 64", "nothing in it is apart by tabs"),
        ("counts", "event\tguests", "no row has the headings component"),
        ("guests", "event\tguests\n" + f"{HOSTILE}\t1\n" * 5000, "… and 4988 more mistakes"),
    ],
)
def test_what_cannot_be_read_is_told_in_a_sentence(
    imported: Book, opened: Opened, what: str, text: str, told: str
) -> None:
    at = look(opened("menu"), what, text)
    assert told in wrong(at)
    assert len(wrong(at).splitlines()) <= 13
    assert "[y](z)" not in "\n".join(str(e.value) for e in at.error)
    assert not at.exception
    assert drafts(imported, ME) == ()


def test_of_a_thousand_lots_that_keep_no_more_some_are_told_and_the_page_can_be_read(
    imported: Book, opened: Opened
) -> None:
    table = "what\tl\tmade\n" + "pea-soup\t1\t2027-05-01\n" * 1000
    at = press(look(opened("menu"), "counts", table), "Put it in")
    assert len(week_of(imported).body["on_hand"]) == 1000
    assert "… and 988 more" in said(at)
    assert said(at).count("(pea-soup-") == 12
    assert "1000 things are wrong; mend that and save." in said(at)


@pytest.mark.parametrize("page", ["menu", "brigade", "recipes"])
def test_a_sous_who_may_not_change_it_is_not_asked_for_a_table(
    imported: Book, opened: Opened, monkeypatch: pytest.MonkeyPatch, page: str
) -> None:
    monkeypatch.setattr("ui.arriving.sitting_here", lambda _, k, who: Who(k, who, Role.SOUS))
    at = opened(page)
    assert not at.exception
    assert not [b for b in at.button if b.label == "See what it changes"]

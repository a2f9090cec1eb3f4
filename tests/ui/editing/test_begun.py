"""What somebody has begun to type is still there; two people who save do not undo each other."""

from __future__ import annotations

from typing import Any

import pytest

from scheduler.book.documents import revision, save
from scheduler.book.drafts import drafts
from scheduler.book.errors import InUse, NotAllowed, NotThere
from scheduler.book.opening import Book
from scheduler.book.revisions import Change
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.domain.problems import BadInput
from tests.book.hut import CHEF, COOK, WEEK, stocked
from ui.editing import begun as ed
from ui.editing.begun import Begun, begun
from ui.editing.paths import put

DORA = Who("hut", "dora", Role.CHEF)


def typed(book: Book, who: Who, path: tuple[Any, ...], value: Any) -> Begun:
    """Type one thing into the soup."""
    one = begun(book, who, "component", "soup")
    ed.keep(book, who, one, put(one.body, path, value))
    return begun(book, who, "component", "soup")


@pytest.fixture
def hut(book: Book) -> Book:
    """The hut's documents in a book."""
    stocked(book)
    return book


def test_what_is_typed_waits_in_the_book_until_it_is_saved(hut: Book) -> None:
    assert not begun(hut, CHEF, "component", "soup").kept
    one = typed(hut, CHEF, ("makes",), "12 l")
    assert (one.kept, one.base, one.body["makes"]) == (True, 1, "12 l")
    assert begun(hut, DORA, "component", "soup").body["makes"] == "10 l"
    assert revision(hut, CHEF, "component", "soup").number == 1
    ed.save_all(hut, CHEF, [one], WEEK)
    after = begun(hut, CHEF, "component", "soup")
    assert (after.kept, after.base, after.body["makes"]) == (False, 2, "12 l")


def test_typing_it_back_leaves_nothing_begun(hut: Book) -> None:
    typed(hut, CHEF, ("makes",), "12 l")
    assert not typed(hut, CHEF, ("makes",), "10 l").kept
    assert drafts(hut, CHEF) == ()


def test_what_is_wrong_is_not_saved_and_not_lost(hut: Book) -> None:
    one = typed(hut, CHEF, ("makes",), "a lot")
    with pytest.raises(BadInput):
        ed.save_all(hut, CHEF, [one], WEEK)
    assert begun(hut, CHEF, "component", "soup").body["makes"] == "a lot"


def test_two_who_changed_different_things_both_keep_theirs(hut: Book) -> None:
    mine = typed(hut, CHEF, ("name",), "Thick soup")
    ed.save_all(hut, DORA, [typed(hut, DORA, ("loss",), "5 %")], WEEK)
    mine = begun(hut, CHEF, "component", "soup")
    assert mine.overtaken
    both = ed.versions(hut, CHEF, mine)
    assert both.both.conflicts == ()
    assert any("Thick soup" in d.says for d in both.differences)
    ed.rebase(hut, CHEF, mine, both.put_together(True))
    ed.save_all(hut, CHEF, [begun(hut, CHEF, "component", "soup")], WEEK)
    saved = revision(hut, CHEF, "component", "soup")
    assert (saved.number, saved.body["name"], saved.body["loss"]) == (3, "Thick soup", "5 %")


@pytest.mark.parametrize(("mine_first", "kept"), [(True, "12 l"), (False, "8 l")])
def test_where_both_changed_the_same_one_of_them_is_chosen(
    hut: Book, mine_first: bool, kept: str
) -> None:
    typed(hut, CHEF, ("makes",), "12 l")
    typed(hut, CHEF, ("name",), "Thick soup")
    ed.save_all(hut, DORA, [typed(hut, DORA, ("makes",), "8 l")], WEEK)
    both = ed.versions(hut, CHEF, begun(hut, CHEF, "component", "soup"))
    assert len(both.both.conflicts) == 1
    made = both.put_together(mine_first)
    assert (made["makes"], made["name"]) == (kept, "Thick soup")


def test_an_overtaken_draft_is_not_saved_over_the_newer_one(hut: Book) -> None:
    typed(hut, CHEF, ("makes",), "12 l")
    ed.save_all(hut, DORA, [typed(hut, DORA, ("makes",), "8 l")], WEEK)
    with pytest.raises(Exception, match="was saved by dora"):
        ed.save_all(hut, CHEF, [begun(hut, CHEF, "component", "soup")], WEEK)
    assert revision(hut, CHEF, "component", "soup").body["makes"] == "8 l"


def test_two_documents_that_need_each_other_are_saved_together(hut: Book) -> None:
    wish = {"kind": "must", "component": "soup", "step": "simmer", "person": "ada"}
    week = begun(hut, CHEF, "week", WEEK)
    save(hut, CHEF, [Change("week", WEEK, dict(week.body, wishes=[wish]), week.base)])
    soup = typed(hut, CHEF, ("steps", 0, "id"), "boil")
    with pytest.raises(BadInput):
        ed.save_all(hut, CHEF, [soup], WEEK)
    week = begun(hut, CHEF, "week", WEEK)
    ed.keep(hut, CHEF, week, put(week.body, ("wishes", 0, "step"), "boil"))
    assert set(ed.all_begun(hut, CHEF)) == {("component", "soup"), ("week", WEEK)}
    ed.save_all(hut, CHEF, [soup, begun(hut, CHEF, "week", WEEK)], WEEK)
    assert ed.all_begun(hut, CHEF) == ()


def test_a_recipe_that_is_needed_is_not_thrown_out_and_another_is(hut: Book) -> None:
    with pytest.raises(InUse, match="dish bowl"):
        ed.throw_out(hut, CHEF, begun(hut, CHEF, "component", "soup"))
    new = {"id": "stock", "section": "stove", "makes": "5 l", "keeps": [{"at_most": "1 d"}]}
    save(hut, CHEF, [Change("component", "stock", new, 0)])
    ed.throw_out(hut, CHEF, begun(hut, CHEF, "component", "stock"))
    with pytest.raises(NotThere, match="thrown out"):
        begun(hut, CHEF, "component", "stock")


def test_a_cook_cannot_look_into_documents_by_way_of_a_form(hut: Book) -> None:
    with pytest.raises(NotAllowed):
        begun(hut, COOK, "component", "soup")

"""Every mistake is said at the field in which it was made."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from scheduler.book.revisions import Key
from scheduler.domain.wording import fresh
from tests.plan import tiny
from ui.editing.mistakes import beside, mistakes
from ui.editing.paths import ABSENT, Path, put
from ui.editing.tables import named
from ui.editing.words import Field
from ui.editing.written import mistakes_of_text, read_back, text_of_document

WEEK = "hut-supper"


def book() -> dict[Key, Any]:
    """The hut's documents."""
    whole = deepcopy(tiny.DOCUMENT)
    return {
        ("kitchen", "hut"): whole["kitchen"],
        ("component", "soup"): whole["components"][0],
        ("dish", "bowl"): whole["dishes"][0],
        ("week", WEEK): whole["week"],
    }


@pytest.mark.parametrize(
    ("key", "path", "typed", "says"),
    [
        (("component", "soup"), ("steps", 0, "time", "at_least"), "2 hrs", "Maybe '2 h'"),
        (("component", "soup"), ("makes",), "10", "has no unit"),
        (("component", "soup"), ("makes",), "ten", "is not an amount"),
        (("component", "soup"), ("section",), "stov", "Maybe 'stove'"),
        (("component", "soup"), ("keeps", 0, "zone"), "chiled", "chilled"),
        (("component", "soup"), ("steps", 0, "id"), "Sim mer", "Maybe 'sim-mer'"),
        (("component", "soup"), ("loss",), "6", "Maybe '6 %'"),
        (("dish", "bowl"), ("takes", 0, "component"), "sop", "Maybe 'soup'"),
        (("dish", "bowl"), ("plating", "per_hour"), "many", "not a whole number"),
        (("week", WEEK), ("events", 0, "first_plate"), "2026-12-04", "not a moment"),
        (("week", WEEK), ("events", 0, "guests"), 0, "more than 0"),
        (("week", WEEK), ("events", 0, "menu", 0, "dish"), "bowls", "Maybe 'bowl'"),
        (("kitchen", "hut"), ("people", 0, "shifts", 0, "hours"), "8-16", "not a time of day"),
        (("kitchen", "hut"), ("people", 0, "sections"), {"stov": "cook"}, "Maybe 'stove'"),
        (("kitchen", "hut"), ("stores", 0, "shelves"), "four", "not a whole number"),
        (("kitchen", "hut"), ("zone",), "Vienna", "zone"),
    ],
)
def test_a_bad_field_gives_a_sentence_beside_it(
    key: Key, path: Path, typed: Any, says: str
) -> None:
    documents = book()
    body = put(documents[key], path, typed)
    found = mistakes(documents, key, body, WEEK)
    assert any(says in m.says for m in beside(found, path)), found


def test_what_is_missing_is_said_where_it_is_missing() -> None:
    body = put(book()["component", "soup"], ("steps", 0, "time"), ABSENT)
    found = mistakes(book(), ("component", "soup"), body, WEEK)
    assert [m.path for m in found] == [("steps", 0, "time")]


def test_a_change_that_breaks_another_document_says_which() -> None:
    documents = book()
    wishes = [{"kind": "must", "component": "soup", "step": "simmer", "person": "ada"}]
    documents["week", WEEK]["wishes"] = wishes
    body = put(documents["component", "soup"], ("steps", 0, "id"), "boil")
    found = mistakes(documents, ("component", "soup"), body, WEEK)
    assert found
    assert found[0].path is None
    assert "week hut-supper" in found[0].place


def test_a_document_in_order_has_none_and_a_new_one_nobody_needs_is_looked_at_too() -> None:
    documents = book()
    for key, body in documents.items():
        assert mistakes(documents, key, body, WEEK) == ()
    new = {"id": "stock", "section": "cellar", "makes": "5 l", "keeps": [{"at_most": "1 d"}]}
    found = mistakes(documents, ("component", "stock"), new, WEEK)
    assert beside(found, ("section",))


def test_a_document_cannot_call_itself_something_else() -> None:
    body = dict(book()["component", "soup"], id="broth")
    found = mistakes(book(), ("component", "soup"), body, WEEK)
    assert [m.path for m in found] == [("id",)]


def test_a_table_names_row_and_column() -> None:
    body = put(book()["component", "soup"], ("steps", 0, "time", "at_least"), "soon")
    (found,) = mistakes(book(), ("component", "soup"), body, WEEK)
    columns = (Field(("id",), "Step"), Field(("time", "at_least"), "Takes at least"))
    assert named(body["steps"], found, ("steps",), columns) == "row 1 (simmer), Takes at least"


def test_a_text_says_line_and_column_and_reads_back_as_the_document() -> None:
    body = book()["component", "soup"]
    text = text_of_document(body)
    tree, unread = read_back(text, "recipe soup")
    assert unread is None
    assert tree is not None
    assert tree.plain() == body
    bad = text.replace("10 l", "10 k")
    (found,) = mistakes_of_text(book(), ("component", "soup"), bad, WEEK)
    line = bad.split("\n").index("makes: 10 k") + 1
    assert str(found).startswith(f"line {line}, column 8: ")


@pytest.mark.parametrize("text", ["id: [", "\tid: x", "- a", "", "a: 1\na: 2", "x: !!y 1", "\0"])
def test_a_text_that_cannot_be_read_gives_one_sentence_with_its_line(text: str) -> None:
    (found,) = mistakes_of_text(book(), ("component", "soup"), text, WEEK)
    assert found.line is not None
    assert found.says


def test_names_of_any_script_give_ids_that_nothing_else_has() -> None:
    assert fresh("Rinderbäckchen, geschmort", (), "recipe") == "rinderbackchen-geschmort"
    assert fresh("酱汁", ("new-recipe",), "new-recipe") == "new-recipe-2"
    assert fresh("Jus", ("jus", "jus-2"), "recipe") == "jus-3"
    assert len(fresh("x" * 300, (), "recipe")) <= 60

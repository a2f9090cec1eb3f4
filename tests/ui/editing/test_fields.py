"""What a form shows of a document is what stands in it, and typing changes that and no more."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.book.matching import same
from tests.ui.editing.documents import documents, fields_of
from ui.editing.models import help_of, in_order
from ui.editing.paths import ABSENT, at, put
from ui.editing.tables import cell, rows_of, typed, with_edits
from ui.editing.words import Field, Sort, text_of, value_of

KINDS = ("kitchen", "component", "dish", "week")
words = st.text("abcdefghij-0123456789 ", min_size=1, max_size=12).map(str.strip).filter(bool)


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_lost_or_changed_by_looking_at_a_document(kind: str) -> None:
    seen = 0
    for key, body in documents().items():
        if key[0] != kind:
            continue
        for path, field in fields_of(kind, body):
            there = (*path, *field.path)
            value = at(body, there)
            again = typed(field, cell(field, value))
            seen += value is not ABSENT
            assert again is ABSENT if value in (ABSENT, False) else same(again, value), (key, there)
            if again is not ABSENT:
                assert put(body, there, again) == body
    assert seen > 20


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_is_one_that_the_model_knows_and_explains(kind: str) -> None:
    paths = {
        tuple(step for step in (*path, *field.path) if isinstance(step, str))
        for key, body in documents().items() if key[0] == kind
        for path, field in fields_of(kind, body)
    }  # fmt: skip
    assert [path for path in paths if not help_of(kind, path)] == []


def test_a_document_keeps_everything_when_its_words_are_put_in_order() -> None:
    for key, body in documents().items():
        backwards = _backwards(body)
        assert in_order(key[0], backwards) == body
        assert list(in_order(key[0], backwards)) == list(body)
    assert in_order("dish", {"sauce": 1, "id": "x"}) == {"id": "x", "sauce": 1}


def _backwards(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _backwards(v) for k, v in reversed(value.items())}
    return [_backwards(v) for v in value] if isinstance(value, list) else value


@pytest.mark.parametrize(
    ("sort", "text", "value"),
    [
        ("text", "  45   min ", "45 min"),
        ("text", "", ABSENT),
        ("whole", "48", 48),
        ("whole", "many", "many"),
        ("words", "milk, gluten", ["milk", "gluten"]),
        ("words", "none", []),
        ("words", "milk,, ", ["milk"]),
        ("pairs", "sauce: lead, pass: cook", {"sauce": "lead", "pass": "cook"}),
        ("pairs", "gn: 10", {"gn": 10}),
        ("pairs", "sauce", "sauce"),
        ("either", "no", False),
        ("written", "[{people: 2}]", [{"people": 2}]),
        ("written", "[{people: 2", "[{people: 2"),
        ("written", "90 min", "90 min"),
    ],
)
def test_what_a_chef_types_means_what_they_meant(sort: Sort, text: str, value: Any) -> None:
    assert value_of(sort, text) == value
    assert value is ABSENT or value_of(sort, text_of(sort, value)) == value


plain = st.recursive(
    st.one_of(st.integers(-9, 9), words, st.booleans()),
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(words, inside, max_size=3),
    max_leaves=8,
)


@given(st.sampled_from(["words", "pairs", "written"]), plain)
def test_a_list_or_a_mapping_comes_back_as_it_was(sort: Sort, value: Any) -> None:
    if isinstance(value, (list, dict)):
        if sort == "words" and isinstance(value, list):
            value = [v for v in value if isinstance(v, str) and v != "none"]
        if value != {} or sort != "pairs":
            assert value_of(sort, text_of(sort, value)) == value


PLACES = st.sampled_from([("id",), ("time", "at_least"), ("on",), ("then", "zone")])


@given(plain, st.lists(st.tuples(st.integers(0, 3), PLACES, words), max_size=4))
def test_typing_into_cells_changes_these_cells_and_nothing_else(hidden: Any, edits: Any) -> None:
    columns = tuple(Field(p, "/".join(p)) for p in (("id",), ("time", "at_least"), ("on",),
                    ("then", "zone")))  # fmt: skip
    entry = {"id": "a", "hidden": hidden, "time": {"at_least": "1 h", "per": "1 kg"}}
    before = {"steps": [dict(entry, id=str(i)) for i in range(4)], "beside": hidden}
    cells: dict[int, dict[str, str]] = {}
    for row, path, text in edits:
        cells.setdefault(row, {})["/".join(path)] = text
    after = with_edits(before, ("steps",), columns, {"edited_rows": cells})
    assert after["beside"] == hidden
    for i, entry in enumerate(after["steps"]):
        assert entry["hidden"] == hidden
        assert entry["time"]["per"] == "1 kg"
        for column in columns:
            expected = cells.get(i, {}).get(column.label)
            old = at(before["steps"][i], column.path)
            now = at(entry, column.path)
            assert now == (old if expected is None else value_of("text", expected))
    assert before["steps"][0] == dict(before["steps"][0], hidden=hidden)


def test_rows_added_and_taken_out_are_in_the_document_and_an_empty_list_leaves_it() -> None:
    columns = (Field(("id",), "Id"), Field(("done",), "Done", "yes"))
    body = {"steps": [{"id": "a"}, {"id": "b", "more": 1}]}
    edits = {"deleted_rows": [0], "added_rows": [{"Id": "c", "Done": True}, {}]}
    after = with_edits(body, ("steps",), columns, edits)
    assert after == {"steps": [{"id": "b", "more": 1}, {"id": "c", "done": True}, {}]}
    assert rows_of(after, ("steps",), columns)[1] == {"Id": "c", "Done": True}
    assert with_edits(body, ("steps",), columns, {"deleted_rows": [0, 1]}) == {}
    assert body == {"steps": [{"id": "a"}, {"id": "b", "more": 1}]}


def test_a_time_in_its_short_form_is_looked_into_and_not_lost() -> None:
    step = {"time": "20 min"}
    assert at(step, ("time", "at_least")) == "20 min"
    made = put(step, ("time", "at_most"), "30 min")
    assert made == {"time": {"at_least": "20 min", "at_most": "30 min"}}


def test_taking_out_the_last_word_of_a_mapping_takes_it_out() -> None:
    body = {"batch": {"most": "16 kg"}, "id": "x"}
    assert put(body, ("batch", "most"), ABSENT) == {"id": "x"}
    assert put({"id": "x"}, ("batch", "most"), ABSENT) == {"id": "x"}

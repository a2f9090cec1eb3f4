"""What somebody was typing is still there when the tablet comes back."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import UTC, datetime

import pytest

from scheduler.book.drafts import draft, drafts, drop_draft, keep_draft
from scheduler.book.errors import BookError, NotThere
from scheduler.book.opening import Book
from scheduler.book.roles import Role, Who

ADA, BO = (Who("hof", person, Role.CHEF) for person in ("ada", "bo"))
WRONG = {"makes": "12 ltr", "steps": [{"id": "", "time": ""}], "note": "ask Bo – 0°?", "n": 1.5}


def test_a_form_survives_the_process_whatever_is_wrong_in_it(book: Book, address: str) -> None:
    keep_draft(book, ADA, "component cheeks", WRONG, 3)
    code = (
        "import json, sys; from scheduler.book.opening import open_book; "
        "from scheduler.book.roles import Role, Who; from scheduler.book.drafts import draft; "
        "d = draft(open_book(sys.argv[1]), Who('hof', 'ada', Role.CHEF), 'component cheeks'); "
        "print(json.dumps([d.body, d.base]))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, address], capture_output=True, text=True, check=True
    )
    assert json.loads(ran.stdout) == [WRONG, 3]


def test_a_form_is_kept_replaced_listed_and_thrown_away_by_whoever_types_in_it(book: Book) -> None:
    assert drafts(book, ADA) == ()
    keep_draft(book, ADA, "week gala", {"guests": "1"})
    keep_draft(book, ADA, "kitchen", None)
    keep_draft(book, BO, "week gala", {"guests": "90"})
    again = keep_draft(book, ADA, "week gala", {"guests": "12"}, 4)
    assert draft(book, ADA, "week gala") == again
    assert again.at.tzinfo is UTC
    assert [(d.form, d.body) for d in drafts(book, ADA)] == [
        ("kitchen", None), ("week gala", {"guests": "12"}),
    ]  # fmt: skip
    drop_draft(book, ADA, "week gala")
    drop_draft(book, ADA, "week gala")
    with pytest.raises(NotThere, match="ada has left nothing in the form 'week gala'"):
        draft(book, ADA, "week gala")
    assert draft(book, BO, "week gala").body == {"guests": "90"}
    with pytest.raises(BookError, match="1 to 200 letters"):
        keep_draft(book, ADA, "x" * 201, {})


def test_what_no_database_can_keep_does_not_lose_the_rest_of_the_form(book: Book) -> None:
    odd = {"a": float("nan"), "b": "half \ud83c", "c": "\x00", "d": datetime(2027, 5, 6), "e": (1,)}
    keep_draft(book, ADA, "odd", odd)
    assert draft(book, ADA, "odd").body == {
        "a": None, "b": "half ?", "c": "\x00", "d": "2027-05-06 00:00:00", "e": [1],
    }  # fmt: skip


def test_a_form_grown_out_of_bounds_is_refused_and_what_was_kept_before_stays(book: Book) -> None:
    whole: list[object] = []
    for _ in range(59):
        whole = [whole]
    keep_draft(book, ADA, "kitchen", whole)
    round_and_round: dict[str, object] = {}
    round_and_round["again"] = round_and_round
    for body, says in (
        ({"text": "x" * 2**20}, r"in the form 'kitchen' is too large: 1025 KB, at most 1024\."),
        ([whole], r"nested too deep: more than 60 lists or groups of fields\."),
        (round_and_round, "nested too deep"),
        ({"n": 10**5000}, "no plain data"),
    ):
        with pytest.raises(BookError, match=says):
            keep_draft(book, ADA, "kitchen", body)
    assert draft(book, ADA, "kitchen").body == whole
    text = "x" * (2**20 - 100)
    assert keep_draft(book, ADA, "big", text) == draft(book, ADA, "big")

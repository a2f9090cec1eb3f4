"""Two chefs in two processes save over one another; a plan hears of what has changed since."""

from __future__ import annotations

import copy
import subprocess
import sys
from typing import Any

import pytest

from scheduler.book import documents
from scheduler.book.documents import Change, changed_since, history, made_from, revision, save
from scheduler.book.errors import BookError, InUse
from scheduler.book.opening import Book
from scheduler.book.saving import ready
from tests.book.kitchens import chef, document, new, parts

FIRST = document("first-week")
ADA, BO = chef(FIRST), chef(FIRST, "bo")
WEEK = FIRST["week"]["id"]
EACH = 6


def test_two_processes_that_save_over_one_another_lose_no_word(book: Book, address: str) -> None:
    save(book, ADA, new(FIRST))
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.book.savers", address, person, str(EACH)]
        )
        for person in ("ada", "bo")
    ]
    assert [p.wait() for p in running] == [0, 0]
    made = history(book, ADA, "component", "pea-soup")
    assert [r.number for r in made] == list(range(1, 2 * EACH + 2))
    assert made[-1].body is not None
    assert sorted(made[-1].body["leaves"]) == sorted(
        f"{person}-{i}" for person in ("ada", "bo") for i in range(EACH)
    )


def test_a_recipe_is_not_thrown_out_while_another_puts_it_on_a_plate(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Ada's save has been checked, and before it is written Bo's goes through.
    lone = copy.deepcopy(parts(FIRST)["component", "pea-soup"]) | {"id": "lone"}
    save(book, ADA, new(FIRST))
    save(book, ADA, [Change("component", "lone", lone, 0)])
    begun = []

    def bo_is_quicker(*asked: Any) -> Any:
        checked = ready(*asked)
        if not begun:
            begun.append("bo")
            dish = copy.deepcopy(parts(FIRST)["dish", "cold-soup"])
            dish["takes"].append({"component": "lone", "amount": "20 ml"})
            save(book, BO, [Change("dish", "cold-soup", dish, 1)])
        return checked

    monkeypatch.setattr(documents, "ready", bo_is_quicker)
    with pytest.raises(InUse, match=r"recipe lone .* dish cold-soup \(takes lone\)"):
        save(book, ADA, [Change("component", "lone", None, 1)])
    assert revision(book, ADA, "component", "lone").number == 1


def test_a_plan_hears_of_what_has_changed_since_and_of_nothing_else(book: Book) -> None:
    lone = copy.deepcopy(parts(FIRST)["component", "pea-soup"]) | {"id": "lone"}
    save(book, ADA, new(FIRST))
    save(book, ADA, [Change("component", "lone", lone, 0)])
    then = made_from(book, ADA, WEEK)
    assert changed_since(book, ADA, then) == ()
    other = copy.deepcopy(parts(FIRST)["week", WEEK]) | {"id": "may"}
    save(book, BO, [
        Change("component", "lone", lone | {"loss": "5 %"}, 1), Change("week", "may", other, 0),
    ])  # fmt: skip
    assert changed_since(book, ADA, then) == ()
    cream = copy.deepcopy(parts(FIRST)["component", "lemon-cream"])
    cream["steps"][0]["time"]["at_least"] = "45 min"
    dish = copy.deepcopy(parts(FIRST)["dish", "cold-soup"])
    dish["takes"].append({"component": "lone", "amount": "20 ml"})
    week = copy.deepcopy(parts(FIRST)["week", WEEK])
    week["events"][0]["guests"] = 44
    save(book, BO, [
        Change("component", "lemon-cream", cream, 1), Change("dish", "cold-soup", dish, 1),
        Change("week", WEEK, week, 1),
    ])  # fmt: skip
    assert [d.says for d in changed_since(book, ADA, [list(one) for one in then])] == [
        "recipe lemon-cream, step boil, time: 40 min -> 45 min",
        "dish cold-soup, takes lone added",
        "week first-week, event supper, guests: 40 -> 44",
        "recipe lone: new",
    ]


@pytest.mark.parametrize(
    ("made_from", "says"),
    [
        ([], "Every plan was made from a kitchen and a week; here is no kitchen."),
        ([("kitchen", "corner-house", 1)], "here is no week."),
        ([("week", "first-week")], "a list of kinds, ids and revisions"),
        ([("week", "first-week", "newest")], "[('week', 'first-week', 'newest')] is not."),
        (7, "3]; 7 is not."),
        ([("kitchen", "corner-house", 1), ("week", WEEK, 9)], "no revision 9 of week first-week"),
        ([("kitchen", "corner-house", 1), ("week", WEEK, 2**70)], "is no number"),
    ],
)
def test_nonsense_is_never_answered_by_nothing_has_changed(
    book: Book, made_from: Any, says: str
) -> None:
    save(book, ADA, new(FIRST))
    with pytest.raises(BookError) as error:
        changed_since(book, ADA, made_from)
    assert says in str(error.value)

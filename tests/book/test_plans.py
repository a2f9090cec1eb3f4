"""Kept plans: what a kitchen cooked by can be looked at years later, and nothing in it is a lie."""

from __future__ import annotations

import hashlib
from concurrent.futures import ThreadPoolExecutor
from copy import deepcopy

import pytest

from scheduler.book.documents import save
from scheduler.book.errors import BookError, NotAllowed, NotThere
from scheduler.book.opening import Book
from scheduler.book.plans import Unknown, changed_since_made, keep, plan, plans_of, text_of
from scheduler.book.revisions import Change
from scheduler.book.roles import Who
from scheduler.domain.problems import BadInput
from scheduler.plan.file import Made, plan_of, plan_text, verdicts_of
from tests.book.hut import CHEF, COOK, SOUS, WEEK, kept, later, lying, stocked, text
from tests.plan import tiny


def test_a_plan_is_kept_as_it_was_written_and_knows_what_it_was_made_from(book: Book) -> None:
    stocked(book)
    written = text()
    one = keep(book, SOUS, written)
    assert (one.number, one.week, one.valid, one.served, one.who) == (1, WEEK, True, True, "bela")
    assert one.made_from == (
        ("kitchen", "hut", 1), ("component", "soup", 1), ("dish", "bowl", 1), ("week", WEEK, 1),
    )
    assert text_of(book, COOK, 1) == written
    assert one.sha256 == hashlib.sha256(written.encode()).hexdigest()
    assert plans_of(book, COOK, WEEK) == (one,)
    known, file = plan(book, COOK, 1)
    assert (known, file.plan) == (one, tiny.plan())


def test_a_plan_sent_twice_has_one_number_also_when_at_once(book: Book) -> None:
    stocked(book)
    with ThreadPoolExecutor(6) as pool:
        found = list(pool.map(lambda n: kept(book, n % 2).number, range(6)))
    assert sorted(set(found)) == [1, 2]
    assert [p.number for p in plans_of(book, CHEF)] == [1, 2]


def test_a_plan_that_says_of_itself_that_it_is_good_is_not_believed(book: Book) -> None:
    stocked(book)
    one = keep(book, SOUS, lying(later(300)))
    assert not one.valid
    file = plan_of(text_of(book, CHEF, one.number))
    assert not file.verdicts.valid
    assert file.verdicts == verdicts_of(file.report)


def test_which_plan_replaces_which_is_known(book: Book) -> None:
    stocked(book)
    first = kept(book)
    child = plan_text(
        tiny.plan(), tiny.scenario(), Made(parent=first.sha256, versions={}),
        verdicts_of(plan_of(text()).report),
    )  # fmt: skip
    assert keep(book, SOUS, child).replaces == 1
    assert keep(book, SOUS, text(seed=3), replaces=2).replaces == 2
    with pytest.raises(NotThere, match="no plan 9"):
        keep(book, SOUS, text(seed=4), replaces=9)
    assert len(plans_of(book, CHEF)) == 3


def test_a_plan_of_what_the_book_has_never_seen_says_what_to_do(book: Book) -> None:
    with pytest.raises(NotThere, match=r"no week 'hut-supper'\. There is none yet: `back"):
        keep(book, SOUS, text())
    stocked(book)
    other = deepcopy(tiny.DOCUMENT)
    other["components"][0]["name"] = "Another soup"
    with pytest.raises(Unknown, match=r"never had: component soup\. Import that first"):
        keep(book, SOUS, text(scenario=tiny.scenario(other)))
    with pytest.raises(BookError, match="of kitchen 'hut', and you are in 'hof'"):
        keep(book, Who("hof", "eve", SOUS.role), text())
    with pytest.raises(BadInput, match="is no plan"):
        keep(book, SOUS, text()[:900])
    assert plans_of(book, CHEF) == ()


def test_a_plan_made_before_the_guests_changed_says_so(book: Book) -> None:
    stocked(book)
    one = kept(book)
    assert changed_since_made(book, CHEF, one.number) == ()
    week = deepcopy(tiny.DOCUMENT["week"])
    week["events"][0]["guests"] = 40
    save(book, CHEF, [Change("week", WEEK, week, 1)])
    (change,) = changed_since_made(book, CHEF, one.number)
    assert "36" in change.says
    assert "40" in change.says
    # The same plan is still of revision 1: what it was made from, not what is newest.
    assert dict((k, n) for k, _, n in kept(book, 2).made_from)["week"] == 1


def test_a_cook_reads_plans_and_keeps_none(book: Book) -> None:
    stocked(book)
    with pytest.raises(NotAllowed, match="to keep plans takes a chef or sous"):
        keep(book, COOK, text())

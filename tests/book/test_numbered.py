"""What paper says of a plan: its number in the book, and how it stands to the wall."""

from __future__ import annotations

from scheduler.book.numbered import Numbered, numbered
from scheduler.book.opening import Book
from scheduler.book.plans import plan
from scheduler.book.wall import put_up, take_down
from scheduler.plan.file import plan_of
from tests.book.hut import COOK, SOUS, WEEK, text


def test_a_sheet_says_which_one_to_bin_as_plans_go_up_and_come_down(hut: Book) -> None:
    first, second = (plan(hut, COOK, n)[1] for n in (1, 2))

    def stand() -> tuple[Numbered, Numbered]:
        return numbered(hut, COOK, first), numbered(hut, COOK, second)

    assert stand() == (Numbered("not yet", 1), Numbered("not yet", 2))
    put_up(hut, SOUS, 1, None)
    assert stand() == (Numbered("hangs", 1, 1), Numbered("not yet", 2, 1))
    put_up(hut, SOUS, 2, 1)
    assert stand() == (Numbered("came down", 1, 2), Numbered("hangs", 2, 2, 1))
    put_up(hut, SOUS, 1, 2)
    assert stand() == (Numbered("hangs", 1, 1, 2), Numbered("came down", 2, 1))
    take_down(hut, SOUS, WEEK, 1)
    assert stand() == (Numbered("came down", 1), Numbered("came down", 2))


def test_a_plan_that_the_book_does_not_have_has_no_number(hut: Book) -> None:
    put_up(hut, SOUS, 1, None)
    assert numbered(hut, COOK, plan_of(text(seed=77))) == Numbered("not kept", hangs=1)

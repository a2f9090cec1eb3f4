"""The page of the book: what is there, the same on every look and on either database."""

from __future__ import annotations

from dataclasses import replace

from scheduler.book.opening import Book
from scheduler.book.overview import overview
from tests.book.hut import CHEF, WEEK, kept, stocked
from tests.book.people import Clock


def test_what_was_saved_in_one_moment_is_told_in_one_way(book: Book) -> None:
    still = replace(book, clock=Clock())
    stocked(still)
    kept(still)
    page = overview(still, CHEF)
    (kitchen,) = page.kitchens
    assert kitchen.last is not None
    assert kitchen.last.key == ("week", WEEK)
    assert (kitchen.id, kitchen.recipes, kitchen.recorded) == ("hut", 2, 0)
    (week,) = kitchen.weeks
    assert (week.id, week.name, week.number, week.plans, week.up) == (
        WEEK, "Supper at the hut", 1, 1, None,
    )

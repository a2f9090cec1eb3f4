"""The wall: one plan a week, who put it there, and what hung there on Tuesday."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from sqlalchemy.exc import IntegrityError

from scheduler.book.documents import save
from scheduler.book.entries import entries
from scheduler.book.errors import BookError, InUse, NotAllowed, NotThere
from scheduler.book.opening import Book
from scheduler.book.plans import keep
from scheduler.book.revisions import Change
from scheduler.book.tables import wall
from scheduler.book.wall import (
    NotValid,
    Replaced,
    hanging,
    hung,
    hung_before,
    put_up,
    take_down,
)
from tests.book.hut import CHEF, COOK, OTHER, SOUS, WEEK, later, lying
from tests.book.people import START, Clock


def test_what_was_on_the_wall_on_tuesday_can_be_looked_at_on_sunday(
    hut: Book, clock: Clock
) -> None:
    put_up(hut, SOUS, 1, None)
    clock.move(days=1)
    put_up(hut, OTHER, 2, 1)
    clock.move(days=4)
    take_down(hut, CHEF, WEEK, 2)
    clock.move(hours=1)

    def at(**after: float) -> list[int]:
        return [h.number for h in hung(hut, COOK, START + timedelta(**after))]

    assert at(minutes=-1) == []
    assert at(minutes=0) == at(hours=23) == [1]
    assert at(days=1) == at(days=4) == [2]
    assert at(days=5) == []
    assert hanging(hut, COOK) == ()
    first, second = hung_before(hut, COOK, WEEK)
    assert (first.up_by, first.down_by, second.up_by, second.down_by) == (
        "bela", "dora", "dora", "agnes",
    )


def test_a_moment_without_a_zone_gives_no_wall_of_another_hour(hut: Book) -> None:
    put_up(hut, SOUS, 1, None)
    with pytest.raises(BookError, match=r"'2026-05-05 04:00:00' has no zone; send the moment"):
        hung(hut, COOK, START.replace(tzinfo=None))
    with pytest.raises(BookError, match="'Tuesday' is no moment"):
        hung(hut, COOK, "Tuesday")  # type: ignore[arg-type]


def test_the_sous_who_looked_at_an_older_wall_is_told_who_was_quicker(hut: Book) -> None:
    put_up(hut, SOUS, 1, None)
    put_up(hut, OTHER, 2, 1)
    for act in (
        lambda: put_up(hut, SOUS, 3, 1),
        lambda: put_up(hut, SOUS, 3, None),
        lambda: take_down(hut, SOUS, WEEK, 1),
    ):
        with pytest.raises(Replaced, match=r"by now dora put up plan 2 .* decide again") as error:
            act()
        assert error.value.hangs == 2
    take_down(hut, OTHER, WEEK, 2)
    with pytest.raises(Replaced, match="dora took plan 2 down"):
        put_up(hut, SOUS, 3, 2)
    with pytest.raises(NotThere, match="No plan of 'hut-supper' is on the wall"):
        take_down(hut, SOUS, WEEK, 2)
    assert [h.number for h in hung_before(hut, CHEF, WEEK)] == [1, 2]


def test_two_sous_at_once_one_is_up_and_the_other_is_told(hut: Book) -> None:
    put_up(hut, CHEF, 1, None)

    def act(number: int) -> str:
        try:
            return f"up {put_up(hut, SOUS, number, 1).number}"
        except Replaced:
            return "told"

    with ThreadPoolExecutor(2) as pool:
        found = sorted(pool.map(act, (2, 3)))
    assert found[0] == "told"
    (one,) = hanging(hut, COOK)
    assert found[1] == f"up {one.number}"
    assert [h.place for h in hung_before(hut, CHEF, WEEK)] == [1, 2]


def test_pressing_twice_hangs_it_once(hut: Book, clock: Clock) -> None:
    first = put_up(hut, SOUS, 1, None)
    clock.move(minutes=1)
    assert put_up(hut, SOUS, 1, None) == first
    assert len(hung_before(hut, CHEF, WEEK)) == 1


def test_nobody_cooks_from_a_plan_that_breaks_a_rule(hut: Book) -> None:
    bad = keep(hut, SOUS, lying(later(300)))
    with pytest.raises(NotValid, match=r"Plan 4 does not go on the wall: .* house rule"):
        put_up(hut, CHEF, bad.number, None)
    assert hanging(hut, CHEF) == ()
    assert entries(hut, COOK) == ()


def test_a_clock_set_back_changes_no_order(hut: Book, clock: Clock) -> None:
    put_up(hut, SOUS, 1, None)
    clock.move(hours=-3)
    put_up(hut, SOUS, 2, 1)
    clock.move(minutes=5)
    put_up(hut, SOUS, 3, 2)
    assert [h.number for h in hung_before(hut, CHEF, WEEK)] == [1, 2, 3]
    assert [h.number for h in hanging(hut, CHEF)] == [3]
    assert [h.number for h in hung(hut, CHEF, START)] == [3]
    assert [h.number for h in hung(hut, CHEF, START - timedelta(minutes=177))] == [2]


def test_the_book_itself_refuses_a_second_plan_of_a_week_on_the_wall(hut: Book) -> None:
    put_up(hut, SOUS, 1, None)
    row = {"kitchen": "hut", "week": WEEK, "place": 2, "number": 2, "up": START, "up_by": "eve"}
    with pytest.raises(IntegrityError), hut.writing() as connection:
        connection.execute(wall.insert(), row)


def test_a_week_on_the_wall_is_not_thrown_out_and_one_thrown_out_not_put_up(hut: Book) -> None:
    put_up(hut, SOUS, 1, None)
    gone = [Change("week", WEEK, None, 1)]
    with pytest.raises(InUse, match="plan 1 of it is on the wall"):
        save(hut, CHEF, gone)
    take_down(hut, CHEF, WEEK, 1)
    save(hut, CHEF, gone)
    with pytest.raises(NotThere, match="was thrown out"):
        put_up(hut, SOUS, 1, None)


def test_a_cook_reads_the_wall_and_hangs_nothing(hut: Book) -> None:
    with pytest.raises(NotAllowed, match="to put a plan on the wall takes a chef or sous"):
        put_up(hut, COOK, 1, None)
    with pytest.raises(NotThere, match="no plan 9"):
        put_up(hut, CHEF, 9, None)
    with pytest.raises(NotThere, match="Maybe 'hut-supper'"):
        hung_before(hut, COOK, "hut-super")

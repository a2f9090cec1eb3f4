"""Calendars: a changed job is heard of, an unchanged one is quiet, one that is gone is cancelled.

RFC 5545, 3.8.7.4: a sequence number is 0 when a component is made, and rises with each revision.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st

from scheduler.book.entries import Entry, Key, Says, State, entries, moved, of_plan, written
from scheduler.book.opening import Book
from scheduler.book.wall import put_up, take_down
from scheduler.plan.file import plan_of
from tests.book.hut import COOK, SOUS, WEEK, text
from tests.book.people import START

FILL, PLATE = "soup.1/simmer:load:0", "supper.bowl/plating:hands:0"
KEYS: list[Key] = [("ada", "a"), ("ada", "b"), ("bo", "a")]
HOURS = [f"2026-12-04T{h:02d}:00Z" for h in range(24)]


@st.composite
def said(draw: st.DrawFn) -> dict[Key, Says]:
    """What some plan says: some of three entries, each at one of a few hours."""
    found = {}
    for key in draw(st.sets(st.sampled_from(KEYS))):
        start = draw(st.integers(0, 3))
        found[key] = {"from": HOURS[start], "to": HOURS[start + 1], "title": "t", "where": ""}
    return found


@given(st.lists(said(), min_size=1, max_size=6))
def test_a_number_rises_just_when_a_calendar_must_hear_of_it(plans: list[dict[Key, Says]]) -> None:
    # Beside it a calendar that only takes what has a higher number, as RFC 5546, 2.1.5 says.
    book: dict[Key, State] = {}
    calendar: dict[Key, State] = {}
    for new in plans:
        before = dict(book)
        book |= moved(book, new, HOURS[0])
        for key, state in book.items():
            was = before.get(key)
            if was is None:
                assert state == State(0, new[key], False)
            else:
                changed = (state.gone, state.says) != (was.gone, was.says)
                assert state.sequence == was.sequence + changed
            if key not in calendar or state.sequence > calendar[key].sequence:
                calendar[key] = state
        assert calendar == book
        assert {key: s.says for key, s in book.items() if not s.gone} == new


def test_what_was_over_before_a_new_plan_begins_is_not_taken_back() -> None:
    says = {"from": HOURS[1], "to": HOURS[2], "title": "t", "where": ""}
    old = {KEYS[0]: State(3, says, False)}
    assert moved(old, {}, HOURS[2]) == {}
    assert moved(old, {}, HOURS[1]) == {KEYS[0]: State(4, says, True)}


def test_an_entry_says_when_what_and_where_in_utc() -> None:
    # 14:00 to 14:15 in Vienna in December are 13:00 to 13:15 UTC.
    found, begins = of_plan(plan_of(text()))
    assert found["ada", FILL] == {
        "from": "2026-12-04T13:00Z", "to": "2026-12-04T13:15Z",
        "title": "Barley soup, 9 l: fill", "where": "kettle",
    }
    assert set(found) == {("ada", FILL), ("ada", PLATE)}
    assert begins == "2026-12-03T07:00Z"


def now(book: Book) -> dict[str, Entry]:
    return {e.task: e for e in entries(book, COOK, "ada", WEEK)}


def test_from_plan_to_plan_a_calendar_keeps_the_ids_and_hears_what_moved(hut: Book) -> None:
    put_up(hut, SOUS, 1, None)
    first = now(hut)
    assert {(e.sequence, e.gone) for e in first.values()} == {(0, False)}
    put_up(hut, SOUS, 2, 1)
    second = now(hut)
    assert {t: e.uid for t, e in first.items()} == {t: e.uid for t, e in second.items()}
    assert second[FILL].sequence == 1
    assert second[FILL].says["from"] == "2026-12-04T13:45Z"
    assert second[PLATE].sequence == 0
    assert {e.number for e in second.values()} == {2}
    take_down(hut, SOUS, WEEK, 2)
    gone = now(hut)
    assert {t: (e.sequence, e.gone) for t, e in gone.items()} == {
        FILL: (2, True), PLATE: (1, True),
    }
    assert gone[FILL].says == second[FILL].says
    put_up(hut, SOUS, 3, None)
    assert {t: (e.sequence, e.gone) for t, e in now(hut).items()} == {
        FILL: (3, False), PLATE: (2, False),
    }


def test_taking_a_plan_down_on_friday_leaves_thursdays_work_in_peoples_calendars(
    hut: Book,
) -> None:
    put_up(hut, SOUS, 1, None)
    # 13:00 to 13:15 UTC are over, the plates are not.
    friday = replace(hut, clock=lambda: datetime(2026, 12, 4, 13, 15, tzinfo=UTC))
    take_down(friday, SOUS, WEEK, 1)
    assert {t: (e.sequence, e.gone) for t, e in now(hut).items()} == {
        FILL: (0, False), PLATE: (1, True),
    }


def test_each_entry_names_the_plan_that_said_it_last(hut: Book) -> None:
    put_up(hut, SOUS, 1, None)
    file = plan_of(text())
    new, _ = of_plan(file)
    plates = {key: says for key, says in new.items() if key[1] == PLATE}
    with hut.writing() as connection:  # Plan 2 begins after the soup was filled in.
        written(connection, "hut", WEEK, plates, new["ada", FILL]["to"], 2, START)
    assert {t: (e.sequence, e.number) for t, e in now(hut).items()} == {
        FILL: (0, 1), PLATE: (0, 2),
    }
    with hut.writing() as connection:  # Plan 3 has nothing of the kind.
        written(connection, "hut", WEEK, {}, new["ada", FILL]["to"], 3, START)
    assert {t: (e.gone, e.number) for t, e in now(hut).items()} == {
        FILL: (False, 1), PLATE: (True, 2),
    }


def test_no_two_entries_have_one_id(hut: Book) -> None:
    put_up(hut, SOUS, 1, None)
    all_of_them = entries(hut, COOK)
    assert len({e.uid for e in all_of_them}) == len(all_of_them) == 2
    assert entries(hut, COOK, "nobody") == ()

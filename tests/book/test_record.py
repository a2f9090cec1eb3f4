"""The record: a tick is never lost, never doubled, never somebody else's, and never changed."""

from __future__ import annotations

import subprocess
import sys
import textwrap
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.book.arriving import Twice
from scheduler.book.errors import BookError, NotAllowed, NotThere
from scheduler.book.opening import Book
from scheduler.book.record import Entry, enter, record_of, task_state, task_states
from scheduler.book.roles import SERVICES, Role, Who
from scheduler.book.standing import UNKNOWN, Recorded, standing, state_of, unplanned
from scheduler.book.tables import kitchens, revisions
from scheduler.book.wall import put_up
from tests.book.hut import CHEF, COOK, SOUS, WEEK, kept, stocked
from tests.book.people import START, Clock
from tests.cli.running import ROOT, environment

FILL = "soup.1/simmer"


def entry(id: str, kind: str = "done", at: datetime = START, **more: Any) -> Entry:
    given: dict[str, Any] = {"week": WEEK, "batch": "soup.1", "task": FILL, "body": {}}
    return Entry(id=id, kind=kind, happened=at, **(given | more))


@pytest.fixture
def hut(book: Book, clock: Clock) -> Book:
    stocked(book)
    return replace(book, clock=clock)


def test_an_entry_has_both_times_and_whoever_made_it(hut: Book, clock: Clock) -> None:
    clock.move(minutes=40)
    found = enter(hut, COOK, entry("a"))
    assert (found.again, found.notes) == (False, ())
    one = found.entry
    assert (one.place, one.who, one.happened, one.arrived) == (
        1, "ada", START, START + timedelta(minutes=40),
    )
    assert record_of(hut, COOK, WEEK) == (one,)
    assert record_of(hut, COOK, WEEK, batch="soup.1") == (one,)
    assert record_of(hut, COOK, WEEK, task=FILL) == (one,)
    assert record_of(hut, COOK, WEEK, batch="soup.2") == ()
    assert record_of(hut, COOK, WEEK, after=1) == ()


def test_a_tick_sent_again_when_the_line_is_back_is_entered_once(hut: Book, clock: Clock) -> None:
    body = {"what": "core", "value": "63,5", "unit": "c"}
    first = enter(hut, COOK, entry("a", "measured", body=body))
    clock.move(hours=2)
    again = enter(hut, COOK, entry("a", "measured", body=body | {"value": 63.5}))
    assert again.again
    assert again.entry == first.entry
    assert len(record_of(hut, COOK, WEEK)) == 1


@pytest.mark.parametrize(
    ("who", "change"),
    [
        (COOK, {"kind": "started"}),
        (COOK, {"happened": START + timedelta(minutes=1)}),
        (COOK, {"batch": "supper.bowl", "task": "supper.bowl/plating"}),
        (SOUS, {}),
    ],
)
def test_one_id_for_two_things_is_refused_and_the_first_stands(
    hut: Book, who: Who, change: dict[str, Any]
) -> None:
    enter(hut, COOK, entry("a"))
    with pytest.raises(Twice, match=r"another entry \(done of soup.1/simmer, by ada\)"):
        enter(hut, who, replace(entry("a"), **change))
    assert [e.kind for e in record_of(hut, COOK, WEEK)] == ["done"]


def test_an_id_of_another_kitchen_tells_nothing_of_it(hut: Book) -> None:
    enter(hut, COOK, entry("a"))
    with hut.writing() as connection:
        connection.execute(kitchens.insert(), {"id": "hof", "since": START})
        connection.execute(
            revisions.insert(),
            {"kitchen": "hof", "kind": "week", "id": WEEK, "number": 1, "body": {}, "sha256": "",
             "who": "eve", "at": START},
        )  # fmt: skip
    with pytest.raises(Twice) as error:
        enter(hut, Who("hof", "eve", COOK.role), entry("a"))
    assert "ada" not in str(error.value)
    assert enter(hut, Who("hof", "eve", COOK.role), entry("b")).entry.place == 1


@pytest.mark.parametrize(("off", "side"), [(timedelta(days=400), "ahead of"),
                                           (timedelta(days=-400), "behind")])  # fmt: skip
def test_a_phone_whose_clock_is_wrong_loses_nothing_and_is_told(
    hut: Book, off: timedelta, side: str
) -> None:
    found = enter(hut, COOK, entry("a", at=START + off))
    assert f"is 400 d {side} the book's" in found.notes[0]
    assert found.entry.doubtful
    assert found.entry.happened == START + off
    assert found.entry.when == START
    assert enter(hut, COOK, entry("a", at=START + off)).again


@pytest.mark.parametrize(("behind", "side"), [(timedelta(minutes=63), "behind"),
                                              (timedelta(days=-20), "ahead of")])  # fmt: skip
def test_a_phone_that_says_what_its_clock_shows_has_its_times_put_right(
    hut: Book, clock: Clock, behind: timedelta, side: str
) -> None:
    clock.move(minutes=10)
    sent = entry("a", at=START - behind, now=START + timedelta(minutes=10) - behind)
    found = enter(hut, COOK, sent)
    assert (found.entry.happened, found.entry.arrived) == (START, START + timedelta(minutes=10))
    assert not found.entry.doubtful
    assert found.entry.body["clock"] == behind.total_seconds()
    assert f"{side} the book's; its time was put right by that" in found.notes[0]
    clock.move(minutes=3, seconds=7)
    # Sent again seven seconds slower: the difference looks another one, the tick is the same.
    again = enter(hut, COOK, replace(sent, now=START + timedelta(minutes=13) - behind))
    assert again.again
    assert again.entry == found.entry
    with pytest.raises(Twice):
        enter(hut, COOK, replace(sent, happened=START))
    with pytest.raises(BookError, match="found out here"):
        enter(hut, COOK, entry("b", body={"clock": 60}))


def test_a_minute_between_two_clocks_is_nothing_to_put_right(hut: Book) -> None:
    found = enter(hut, COOK, entry("a", now=START + timedelta(seconds=90)))
    assert (found.entry.happened, found.entry.body, found.notes) == (START, {}, ())


def test_a_little_ahead_is_no_wrong_clock(hut: Book) -> None:
    ahead = START + timedelta(minutes=4)
    found = enter(hut, COOK, entry("a", at=ahead))
    assert (found.notes, found.entry.doubtful, found.entry.when) == ((), False, ahead)


def test_the_order_is_that_of_arrival_when_the_clock_is_set_back(hut: Book, clock: Clock) -> None:
    for n in range(4):
        enter(hut, COOK, entry(f"e{n}", at=clock.at))
        clock.move(hours=-1)
    assert [e.id for e in record_of(hut, COOK, WEEK)] == ["e0", "e1", "e2", "e3"]


def test_eight_cooks_ticking_at_once_lose_nothing(hut: Book) -> None:
    def ticks(cook: int) -> int:
        who = Who("hut", f"cook-{cook}", COOK.role)
        # Every entry is sent twice, as after a lost answer.
        sent = [enter(hut, who, entry(f"{cook}-{n // 2}")) for n in range(12)]
        return sum(not e.again for e in sent)

    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(ticks, range(8))) == [6] * 8
    found = record_of(hut, CHEF, WEEK)
    assert [e.place for e in found] == list(range(1, 49))
    assert len({e.id for e in found}) == 48


def test_one_entry_sent_by_many_at_once_is_entered_once(hut: Book) -> None:
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda _: enter(hut, COOK, entry("a")), range(8)))
    assert sorted(f.again for f in found) == [False] + [True] * 7
    assert {f.entry.place for f in found} == {1}


def test_processes_that_write_at_once_share_one_order(hut: Book, address: str) -> None:
    script = textwrap.dedent("""
        import sys
        from scheduler.book.opening import open_book
        from tests.book.hut import COOK
        from tests.book.test_record import enter, entry
        book = open_book(sys.argv[1])
        for n in range(15):
            enter(book, COOK, entry(f"{sys.argv[2]}-{n}"))
    """)
    running = [
        subprocess.Popen([sys.executable, "-c", script, address, name], cwd=ROOT, env=environment())
        for name in "abc"
    ]
    assert [process.wait(120) for process in running] == [0, 0, 0]
    found = record_of(hut, CHEF, WEEK)
    assert [e.place for e in found] == list(range(1, 46))
    for name in "abc":
        mine = [e.id for e in found if e.id.startswith(name)]
        assert mine == [f"{name}-{n}" for n in range(15)]


def test_a_correction_is_an_entry_of_its_own_and_the_wrong_one_is_still_there(hut: Book) -> None:
    enter(hut, COOK, entry("a", "quantity", body={"made": "90 l"}))
    fixed = enter(hut, SOUS, entry("b", "quantity", body={"made": "9 l"}, corrects="a"))
    assert fixed.notes == ()
    assert [e.id for e in record_of(hut, COOK, WEEK)] == ["a", "b"]
    state = task_state(hut, COOK, WEEK, FILL)
    assert state.made is not None
    assert (state.made.id, state.made.who) == ("b", "bela")
    # Two phones correct the same: nothing is lost, the later stands and is told.
    other = enter(hut, COOK, entry("c", "quantity", body={"made": "9.1 l"}, corrects="a"))
    assert other.notes == ("bela has corrected the same before; yours stands.",)
    assert [e.id for e in standing(record_of(hut, COOK, WEEK))] == ["c"]
    with pytest.raises(NotThere, match="has no entry 'zz' to correct"):
        enter(hut, COOK, entry("d", corrects="zz"))


def test_a_cook_rewrites_nobody_elses_word_in_the_record(hut: Book) -> None:
    other = Who("hut", "cem", COOK.role)
    enter(hut, other, entry("a", "quantity", body={"made": "9 l"}))
    mine = entry("b", "quantity", body={"made": "8 l"}, corrects="a")
    with pytest.raises(NotAllowed) as error:
        enter(hut, COOK, mine)
    assert str(error.value) == (
        "ada is a cook here; to correct what others have entered takes a chef or sous."
    )
    assert [e.id for e in record_of(hut, COOK, WEEK)] == ["a"]
    for n, who in enumerate((other, SOUS, CHEF)):
        assert enter(hut, who, replace(mine, id=f"c{n}")).entry.who == who.person
    assert SERVICES["scheduler.book.record.enter.others"].roles == {Role.CHEF, Role.SOUS}


def test_work_that_nobody_had_planned_is_in_the_record_and_is_known_as_such(hut: Book) -> None:
    enter(hut, COOK, entry("a"))
    enter(hut, COOK, entry("b", task="soup.1/strain"))
    enter(hut, COOK, entry("c", "note", batch="stock.1", task=None, body={"text": "boiled over"}))
    assert task_state(hut, COOK, WEEK, "soup.1/strain").state == "done"
    found = unplanned(record_of(hut, COOK, WEEK), {"soup.1", FILL})
    assert [e.id for e in found] == ["b", "c"]


def test_a_tick_by_mistake_is_corrected_to_unknown(hut: Book) -> None:
    enter(hut, COOK, entry("a"))
    assert task_state(hut, COOK, WEEK, FILL).state == "done"
    enter(hut, COOK, entry("b", "note", body={"text": "wrong job"}, corrects="a"))
    assert task_state(hut, COOK, WEEK, FILL).state == "unknown"


def test_what_nobody_has_ticked_is_unknown_and_not_late(hut: Book) -> None:
    assert task_states(hut, COOK, WEEK) == {}
    assert task_state(hut, COOK, WEEK, FILL) == UNKNOWN
    assert UNKNOWN.state == "unknown"


@pytest.mark.parametrize(
    ("kinds", "state"),
    [
        (["started"], "started"),
        (["started", "done"], "done"),
        (["done", "started"], "done"),  # the start was in a pocket without a line
        (["skipped"], "skipped"),
        (["skipped", "started"], "started"),
        (["started", "skipped"], "skipped"),
        (["skipped", "done"], "done"),
        (["note", "measured"], "unknown"),
    ],
)
def test_the_state_of_a_job_follows_from_what_was_entered(kinds: list[str], state: str) -> None:
    made = [
        Recorded(str(n), "hut", n, WEEK, "soup.1", FILL, kind, {}, "ada", START, START, None, None)
        for n, kind in enumerate(kinds)
    ]
    found = state_of(made)
    assert found.state == state
    assert (found.skipped is not None) == (state == "skipped")


def test_a_visit_that_is_done_begins_the_job_and_does_not_end_it(hut: Book) -> None:
    enter(hut, COOK, entry("a", body={"visit": "load:0"}))
    enter(hut, COOK, entry("b", "skipped", body={"visit": "tend:1", "why": "no hands"}))
    found = task_state(hut, COOK, WEEK, FILL)
    assert (found.state, found.begun and found.begun.id, found.ended) == ("started", "a", None)
    assert {k: e.kind for k, e in found.visits.items()} == {"load:0": "done", "tend:1": "skipped"}
    enter(hut, COOK, entry("c", body={"visit": "tend:1"}))
    enter(hut, COOK, entry("d", "skipped", body={"visit": "tend:1", "why": "late out of a pocket"}))
    assert task_state(hut, COOK, WEEK, FILL).visits["tend:1"].id == "c"
    enter(hut, COOK, entry("e"))
    assert task_state(hut, COOK, WEEK, FILL).state == "done"


@given(st.lists(st.integers(0, 9), max_size=10))
def test_whatever_corrects_whatever_each_story_has_one_end(targets: list[int]) -> None:
    # Each entry corrects an earlier one, or none where its number is not smaller.
    made = [
        Recorded(
            str(n), "hut", n, WEEK, "b", None, "note", {}, "ada", START, START, None,
            str(target) if target < n else None,
        )
        for n, target in enumerate(targets)
    ]  # fmt: skip
    root = {}
    for e in made:
        root[e.id] = e.id if e.corrects is None else root[e.corrects]
    ends = [e for e in made if all(root[o.id] != root[e.id] or o.place <= e.place for o in made)]
    assert list(standing(made)) == ends


def test_a_tick_on_a_plan_that_was_replaced_is_kept_and_answered(hut: Book) -> None:
    kept(hut, 1)
    kept(hut, 2)
    assert "not on the wall" in enter(hut, COOK, entry("a", number=1)).notes[0]
    put_up(hut, SOUS, 1, None)
    assert enter(hut, COOK, entry("b", number=1)).notes == ()
    put_up(hut, SOUS, 2, 1)
    (note,) = enter(hut, COOK, entry("c", number=1)).notes
    assert note.startswith("Plan 2 is on the wall by now (bela put it up), not plan 1")
    assert len(record_of(hut, COOK, WEEK)) == 3


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"week": "hut-super"}, "no week 'hut-super'. Maybe 'hut-supper'."),
        ({"id": ""}, "is no id for an entry"),
        ({"id": "a" * 65}, "is no id for an entry"),
        ({"batch": "Soup 1"}, "'Soup 1' is no batch."),
        ({"task": "soup.2/simmer"}, "'soup.2/simmer' is no task of the batch 'soup.1'."),
        ({"task": None}, "An entry 'done' needs the task that it is about."),
        ({"number": 7}, "The book has no plan 7"),
        ({"happened": START.replace(tzinfo=None)}, "has no zone"),
        ({"happened": START.replace(year=1)}, "is not in 1970 to 2199"),
        ({"kind": "ticked"}, "There is no entry of the kind 'ticked'."),
        ({"kind": "skipped"}, "An entry 'skipped' needs 'why'."),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence_and_takes_no_place(
    hut: Book, change: dict[str, Any], says: str
) -> None:
    with pytest.raises(BookError) as error:
        enter(hut, COOK, replace(entry("a"), **change))
    assert says in str(error.value)
    assert enter(hut, COOK, entry("b")).entry.place == 1

"""What happens on the way: tasks that stay, setbacks, solving jobs that die without a word."""

from __future__ import annotations

import functools
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import update

from scheduler.book.arriving import Twice
from scheduler.book.errors import BookError, NotAllowed, NotThere
from scheduler.book.jobs import find_gone, job_began, job_ended, jobs
from scheduler.book.kept import keep_task, kept, let_go
from scheduler.book.opening import Book
from scheduler.book.processes import mark_of, runs
from scheduler.book.setbacks import answer, enter_setback, setbacks, take_back
from scheduler.book.tables import jobs as jobs_table
from tests.book.hut import CHEF, COOK, OTHER, SOUS, WEEK
from tests.book.people import START, Clock

TASK = "soup.1/simmer"
DEEP: Any = functools.reduce(lambda inner, _: [inner], range(2000), [])
DOWN = {"unit": "kettle", "until": None}


def test_a_task_kept_where_it_is_stays_until_it_is_let_go(hut: Book, clock: Clock) -> None:
    one = keep_task(hut, SOUS, 1, TASK, {"start": "2026-12-04T14:00+01:00", "people": ["ada"]})
    assert (one.place, one.week, one.how.people) == (1, WEEK, ("ada",))
    assert kept(hut, COOK, WEEK) == (one,)
    clock.move(minutes=5)
    two = keep_task(hut, OTHER, 2, TASK, {"equipment": ["kettle"]})
    assert kept(hut, COOK, WEEK) == (two,)
    let_go(hut, SOUS, WEEK, TASK)
    assert kept(hut, COOK, WEEK) == ()
    old = kept(hut, COOK, WEEK, before=True)
    assert [(k.place, k.let_go_by) for k in old] == [(1, "dora"), (2, "bela")]
    assert old[0].how == one.how
    with pytest.raises(NotThere, match="is not kept where it is"):
        let_go(hut, SOUS, WEEK, TASK)


@pytest.mark.parametrize(
    ("task", "how", "says"),
    [
        ("soup.1/simer", {"people": ["ada"]}, "Plan 1 has no task 'soup.1/simer'. Maybe"),
        (TASK, {"people": ["adda"]}, "Plan 1 has no person 'adda'. Maybe 'ada'."),
        (TASK, {"equipment": ["kettel"]}, "Plan 1 has no unit 'kettel'. Maybe 'kettle'."),
        (TASK, {}, "Say what of the task stays: its start, its people or its equipment."),
        (TASK, {"start": "2026-12-04T14:00"}, "Start: "),
        (TASK, {"colour": "red"}, "A kept task has no 'colour'."),
    ],
)
def test_a_task_that_nobody_knows_is_not_kept(
    hut: Book, task: str, how: dict[str, Any], says: str
) -> None:
    with pytest.raises(BookError) as error:
        keep_task(hut, SOUS, 1, task, how)
    assert says in str(error.value)
    assert kept(hut, CHEF, WEEK, before=True) == ()


def test_two_who_keep_one_task_at_once_leave_one_word(hut: Book) -> None:
    with ThreadPoolExecutor(4) as pool:
        for _ in pool.map(lambda _: keep_task(hut, SOUS, 1, TASK, {"people": ["ada"]}), range(4)):
            pass
    assert len(kept(hut, CHEF, WEEK)) == 1
    assert [k.place for k in kept(hut, CHEF, WEEK, before=True)] == [1, 2, 3, 4]


def test_a_setback_sent_twice_is_entered_once_with_both_times(hut: Book, clock: Clock) -> None:
    clock.move(minutes=30)
    first = enter_setback(hut, SOUS, "s1", WEEK, "equipment-down", DOWN, START)
    assert (first.happened, first.arrived) == (START, START + timedelta(minutes=30))
    clock.move(minutes=1)
    assert enter_setback(hut, SOUS, "s1", WEEK, "equipment-down", DOWN, START) == first
    for other in ({"unit": "oven"}, DOWN | {"until": "18:00"}):
        with pytest.raises(Twice, match="another setback"):
            enter_setback(hut, SOUS, "s1", WEEK, "equipment-down", other, START)
    assert setbacks(hut, COOK, WEEK) == (first,)
    assert first.open
    ahead = enter_setback(hut, SOUS, "s2", WEEK, "away", {}, START + timedelta(days=2))
    assert ahead.doubtful


def test_a_setback_is_answered_by_one_plan_or_taken_back(hut: Book) -> None:
    for id in ("s1", "s2", "s3"):
        enter_setback(hut, SOUS, id, WEEK, "away", {"person": "ada"}, START)
    answer(hut, SOUS, ["s1"], 2)
    answer(hut, SOUS, ["s1"], 2)
    with pytest.raises(BookError, match="Plan 2 has dealt with the setback 's1' already"):
        answer(hut, SOUS, ["s3", "s1"], 1)
    back = take_back(hut, OTHER, WEEK, "s2")
    assert take_back(hut, SOUS, WEEK, "s2") == back
    with pytest.raises(BookError, match="taken back by dora"):
        answer(hut, SOUS, ["s2"], 2)
    with pytest.raises(NotThere, match="no setback 's9'"):
        answer(hut, SOUS, ["s9"], 2)
    assert [(s.id, s.answered, s.open) for s in setbacks(hut, COOK, WEEK)] == [
        ("s1", 2, False), ("s2", None, False), ("s3", None, True),
    ]
    # Sent again after all that, it is still the one that was entered.
    assert enter_setback(hut, SOUS, "s1", WEEK, "away", {"person": "ada"}, START).answered == 2


def test_a_setback_is_read_back_just_as_it_was_answered_when_it_was_entered(hut: Book) -> None:
    body = {"units": ("kettle", "oven"), "by_day": {5: ["08:00"]}, "share": 1.0, "all": True}
    entered = enter_setback(hut, SOUS, "s1", WEEK, "equipment-down", body, START)
    assert entered.body == {
        "units": ["kettle", "oven"], "by_day": {"5": ["08:00"]}, "share": 1.0, "all": True,
    }
    (read,) = setbacks(hut, COOK, WEEK)
    assert repr(read.body) == repr(dict(sorted(entered.body.items())))
    # Sent again by a client that did not hear the answer, it is the same.
    assert enter_setback(hut, SOUS, "s1", WEEK, "equipment-down", body, START) == entered


def test_nonsense_is_no_setback(hut: Book) -> None:
    for kind, body, says in (
        ("", {}, "no kind of setback"),
        ("away", {"since": START}, "no plain data"),
        ("away", {"n": float("nan")}, "no plain data"),
        ("away", {"t": "\ud800"}, "no plain data"),
        ("away", {"t": "x" * 70_000}, "too large: 69 KB, at most 64"),
        ("away", {1: "one", "1": "another"}, "no plain data"),
        ("away", 5, "no fields and their values: 5."),
        ("away", {"a": DEEP}, "nested too deep"),
    ):
        with pytest.raises(BookError, match=says):
            enter_setback(hut, SOUS, "s1", WEEK, kind, body, START)
    with pytest.raises(NotAllowed, match="to enter a setback takes a chef or sous"):
        enter_setback(hut, COOK, "s1", WEEK, "away", {}, START)
    assert setbacks(hut, CHEF, WEEK) == ()


def running() -> subprocess.Popen[bytes]:
    """A process that lasts until it is killed."""
    return subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE)


def test_a_solving_job_that_died_without_a_word_does_not_run_for_ever(hut: Book) -> None:
    alive, dead = running(), running()
    try:
        job_began(hut, SOUS, "alive", WEEK, "folder", alive.pid)
        job_began(hut, SOUS, "dead", WEEK, "folder", dead.pid)
        assert find_gone(hut, SOUS) == ()
        dead.kill()
        dead.wait()
        (found,) = find_gone(hut, SOUS)
        assert (found.id, found.outcome) == ("dead", "gone")
        assert find_gone(hut, SOUS) == ()
        assert {j.id: j.outcome for j in jobs(hut, SOUS, WEEK)} == {"alive": None, "dead": "gone"}
        # It was given up too early and says so itself.
        assert job_ended(hut, SOUS, "dead", "done", number=1).number == 1
    finally:
        for process in (alive, dead):
            process.kill()
            process.wait()


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="the system gives no marks")
def test_another_process_of_the_same_number_is_not_the_job(hut: Book) -> None:
    process = running()
    try:
        mark = mark_of(process.pid)
        assert mark
        assert runs(process.pid, mark)
        assert not runs(process.pid, f"{mark}1")
        job_began(hut, SOUS, "old", WEEK, "folder", process.pid)
        with hut.writing() as connection:  # As if the machine had been started anew.
            connection.execute(update(jobs_table).values(mark="another-boot 5"))
        assert [j.id for j in find_gone(hut, SOUS)] == ["old"]
    finally:
        process.kill()
        # Killed and not waited for it is a zombie, which works no more.
        until = 200
        while runs(process.pid, mark) and until:
            until -= 1
        process.wait()
    assert not runs(process.pid, mark)


def test_a_job_of_another_machine_is_not_judged_from_here(hut: Book) -> None:
    job_began(hut, SOUS, "there", WEEK, "folder", 1)
    with hut.writing() as connection:
        connection.execute(update(jobs_table).values(host="another", process=2**22 + 1))
    assert find_gone(hut, SOUS) == ()
    assert job_ended(hut, SOUS, "there", "gone", "its laptop was taken home").outcome == "gone"


def test_how_a_job_ended_is_said_once(hut: Book) -> None:
    job_began(hut, SOUS, "j", WEEK, "folder", 1)
    with pytest.raises(Twice, match="has begun already"):
        job_began(hut, SOUS, "j", WEEK, "folder", 1)
    first = job_ended(hut, SOUS, "j", "stopped", number=2)
    assert job_ended(hut, SOUS, "j", "stopped", number=2) == first
    with pytest.raises(BookError, match="has ended already: stopped"):
        job_ended(hut, SOUS, "j", "done", number=2)
    with pytest.raises(NotThere, match="no job 'k'"):
        job_ended(hut, SOUS, "k", "done")
    with pytest.raises(BookError, match="A job ends done, stopped, failed, gone"):
        job_ended(hut, SOUS, "j", "over")  # type: ignore[arg-type]

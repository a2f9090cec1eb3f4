"""What has happened is entered once, worked out anew, and accepted or not."""

from __future__ import annotations

import time

import pytest
from streamlit.testing.v1 import AppTest

from scheduler.book import plans
from scheduler.book.documents import revision, save
from scheduler.book.errors import BookError
from scheduler.book.listing import weeks
from scheduler.book.opening import Book
from scheduler.book.record import Entry, enter
from scheduler.book.revisions import Change
from scheduler.book.roles import Role, Who
from scheduler.book.setbacks import setbacks
from scheduler.book.wall import hanging
from tests.ui.conftest import Opened, said
from ui.bar import the_runs
from ui.here import Here
from ui.making_room import asked_of
from ui.planning import Room

NOW = "2027-05-08 15:00"


def press(at: AppTest, label: str) -> AppTest:
    return next(b for b in at.button if b.label == label).click().run()


def at_three(opened: Opened) -> AppTest:
    """The page at three on the day of the supper."""
    at = opened("setback")
    return next(f for f in at.text_input if f.key == "setback-now").set_value(NOW).run()


def over(book: Book, at: AppTest) -> AppTest:
    """Wait until it has been worked out, and look again."""
    until = time.monotonic() + 120
    while time.monotonic() < until:
        run = the_runs().of(book, "corner-house", "first-week")
        if run is not None and run.over:
            return at.run()
        time.sleep(0.1)
    raise AssertionError("never over")


def worked_out(book: Book, chef: Who, at: AppTest) -> int:
    """Have it worked out; the number of the proposal."""
    press(at, "Work it out anew")
    assert not at.error, said(at)
    over(book, at)
    return max(p.number for p in plans.plans_of(book, chef, "first-week"))


def without(book: Book, chef: Who, opened: Opened, what: str) -> int:
    """The proposal where a machine stands still from three on."""
    at = at_three(opened)
    at.pills(key="setback-down").set_value(what).run()
    return worked_out(book, chef, at)


def test_a_burner_that_dies_is_worked_around_and_accepted(
    hung: Book, chef: Who, opened: Opened
) -> None:
    newest = without(hung, chef, opened, "burner-1")
    (one,) = setbacks(hung, chef, "first-week")
    assert (one.kind, one.body, one.open) == (
        "down", {"what": "burner-1", "since": "2027-05-08 15:00"}, True,
    )
    assert newest > 1
    assert hanging(hung, chef, "first-week")[0].number == 1, "nothing changes by itself"

    at = opened("plans", plan=str(newest))
    press(at, f"Put plan {newest} on the wall in place of plan 1")
    assert hanging(hung, chef, "first-week")[0].number == newest
    assert setbacks(hung, chef, "first-week")[0].answered == newest


def test_nonsense_gets_one_sentence_and_nothing_is_entered(
    hung: Book, chef: Who, opened: Opened
) -> None:
    at = at_three(opened)
    press(at, "Work it out anew")
    assert "choose what has happened, and to what" in said(at)
    at.pills(key="setback-down").set_value("oven").run()
    next(f for f in at.text_input if f.key == "setback-until").set_value("14:00").run()
    press(at, "Work it out anew")
    assert "before it begins" in said(at)
    next(f for f in at.text_input if f.key == "setback-now").set_value("soon").run()
    press(at, "Work it out anew")
    assert "'soon' is not a moment" in said(at).replace("\\", "")
    assert setbacks(hung, chef, "first-week") == ()


def test_what_cooks_have_recorded_meanwhile_is_not_planned_over(
    hung: Book, chef: Who, opened: Opened
) -> None:
    newest = without(hung, chef, opened, "burner-1")
    task = next(t for t in plans.plan(hung, chef, 1)[1].plan.tasks)
    enter(hung, chef, _done(task.id, hung))
    at = opened("plans", plan=str(newest))
    press(at, f"Put plan {newest} on the wall in place of plan 1")
    assert "cooks have recorded more" in said(at)
    assert hanging(hung, chef, "first-week")[0].number == 1


def test_a_proposal_is_adjusted_and_what_had_begun_stays(
    hung: Book, chef: Who, opened: Opened
) -> None:
    proposed = without(hung, chef, opened, "burner-1")
    before = plans.plan(hung, chef, proposed)[1].plan
    assert before.past is not None
    looked = Here(hung, chef, weeks(hung, chef)[0], plans.plans_of(hung, chef),
                  hanging(hung, chef)[0], proposed)  # fmt: skip
    begun = before.past.tasks[0]
    with pytest.raises(BookError, match="It has begun by now"):
        the_runs().begin(hung, chef, "first-week", 2, asked_of(
            looked, Room(proposed, begun.id, {"start": begun.start + 60})
        ))  # fmt: skip
    later = min((t for t in before.tasks if t.start >= before.past.now), key=lambda t: t.start)
    hers = later.visits[0].people
    room = Room(proposed, later.id, {"people": list(hers)})
    the_runs().begin(hung, chef, "first-week", 2, asked_of(looked, room))
    over(hung, opened("plans"))
    newest = max(p.number for p in plans.plans_of(hung, chef, "first-week"))
    after = plans.plan(hung, chef, newest)[1].plan
    run = the_runs().of(hung, "corner-house", "first-week")
    assert newest > proposed, run
    assert after.past is not None
    assert {t.id for t in after.past.tasks} == {t.id for t in before.past.tasks}
    assert all(next(t for t in after.tasks if t.id == b.id) == b for b in after.past.tasks)
    (moved,) = (t for t in after.tasks if t.id == later.id)
    assert all(v.people == hers for v in moved.visits)
    assert [k.task for k in after.kept] == [later.id]


def test_an_event_that_is_written_meanwhile_comes_in(
    hung: Book, chef: Who, opened: Opened
) -> None:
    at = at_three(opened)
    at.segmented_control(key="setback-kind").set_value("added").run()
    assert "Write the event under Menu" in said(at)
    head = revision(hung, chef, "week", "first-week")
    assert head.body is not None
    late = head.body["events"][0] | {"id": "late", "first_plate": "2027-05-08 22:00", "guests": 4}
    body = head.body | {"events": [*head.body["events"], late]}
    save(hung, chef, [Change("week", "first-week", body, head.number)])
    at.run()
    at.pills(key="setback-added").set_value("late").run()
    newest = worked_out(hung, chef, at)
    _, file = plans.plan(hung, chef, newest)
    assert file.scenario.event["late"].guests == 4
    assert "event comes in: late" in said(opened("setback")).replace("\\", "")


def test_what_is_left_over_where_fewer_come_is_said_beside_the_proposal(
    hung: Book, chef: Who, opened: Opened
) -> None:
    at = opened("setback")
    next(f for f in at.text_input if f.key == "setback-now").set_value("2027-05-08 17:30").run()
    at.segmented_control(key="setback-kind").set_value("counts").run()
    at.pills(key="setback-counts").set_value("supper").run()
    at.number_input(key="setback-guests").set_value(20).run()
    newest = worked_out(hung, chef, at)
    assert "are left over." in said(opened("plans", plan=str(newest))).replace("\\", "")


def test_a_burner_works_again(hung: Book, chef: Who, opened: Opened) -> None:
    at = at_three(opened)
    at.segmented_control(key="setback-kind").set_value("working").run()
    assert "Nothing is out of use" in said(at)
    at.segmented_control(key="setback-kind").set_value("down").run()
    at.pills(key="setback-down").set_value("burner-1").run()
    newest = worked_out(hung, chef, at)
    at = opened("plans", plan=str(newest))
    press(at, f"Put plan {newest} on the wall in place of plan 1")
    at = at_three(opened)
    at.segmented_control(key="setback-kind").set_value("working").run()
    at.pills(key="setback-working").set_value("burner-1").run()
    again = worked_out(hung, chef, at)
    duties = plans.plan(hung, chef, again)[1].scenario.kitchen.duties
    assert again > newest
    assert not any(d.out_of_use for d in duties)


def test_a_cook_is_told_whom_to_ask(
    hung: Book, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    cook = Who("corner-house", "marek", Role.COOK)
    monkeypatch.setattr("ui.arriving.sitting_here", lambda book, kitchen, name: cook)
    at = opened("setback")
    assert "Tell the sous or the chef" in said(at)


def _done(task: str, book: Book) -> Entry:
    return Entry(
        id="00000000-0000-4000-8000-000000000001", week="first-week",
        batch=task.partition("/")[0], task=task, kind="done", body={}, happened=book.clock(),
    )  # fmt: skip

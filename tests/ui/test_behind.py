"""Running late by itself: the week says so only where it matters, and offers to work it out."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from scheduler.book import opening, plans
from scheduler.book.opening import Book
from scheduler.book.record import Entry, enter
from scheduler.book.roles import Who
from scheduler.book.setbacks import setbacks
from scheduler.reshuffle.behind import behind
from scheduler.reshuffle.standing import Standing
from tests.ui.conftest import Opened, said
from tests.ui.test_setback import over, press


def test_what_was_put_off_and_cannot_wait_is_said_and_worked_out_anew(
    hung: Book, chef: Who, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, file = plans.plan(hung, chef, 1)
    clock = file.scenario.clock

    def half_an_hour_after(start: int) -> datetime:
        return clock.local(start) + timedelta(minutes=30)

    task = next(
        t for t in sorted(file.plan.tasks, key=lambda t: -t.start)
        if "/" in t.id and t.batch in {b.id for b in file.plan.batches if b.component}
        and behind(Standing(file, half_an_hour_after(t.start).replace(tzinfo=None)), {}, {}, [t.id])
    )  # fmt: skip
    now = half_an_hour_after(task.start)
    monkeypatch.setattr("ui.here.open_book", lambda: opening.open_book(clock=lambda: now))
    assert "Behind" not in said(opened("")), "unknown is not late"

    enter(opening.open_book(clock=lambda: now), chef, Entry(
        id="00000000-0000-4000-8000-000000000002", week="first-week", batch=task.batch,
        task=task.id, kind="skipped", body={"why": "no burner free"},
        happened=now - timedelta(minutes=25), number=1,
    ))  # fmt: skip
    at = opened("")
    assert "Behind, and it matters" in said(at)
    press(at, "Work the rest out anew")
    assert not at.error, said(at)
    over(hung, at)
    assert [(s.kind, s.body) for s in setbacks(hung, chef, "first-week")] == [
        ("not-begun", {"task": task.id})
    ]
    newest = max(p.number for p in plans.plans_of(hung, chef, "first-week"))
    after = plans.plan(hung, chef, newest)[1].plan
    assert newest > 1
    assert after.past is not None
    assert all(t.start >= after.past.now for t in after.tasks if t.id == task.id)

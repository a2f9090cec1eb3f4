"""Making room for one task: the week is planned anew around it, and held beside what was."""

from __future__ import annotations

from typing import Any

import streamlit as st

from ui.bar import the_runs
from ui.happened import still_on
from ui.here import Here, choose, plan_file
from ui.now import now_in
from ui.planning import Broken, Room
from ui.proposing import answered_by

SECONDS = 10.0
"""Time to look for a plan with little moved; the first one comes sooner."""


def make_room(at: Here, task: str, how: dict[str, Any]) -> None:
    """Plan from the plan that is looked at, with this of a task kept.

    Raises
    ------
    BadInput
    BookError
    """
    assert at.week is not None and at.number is not None
    run = the_runs().begin(
        at.book, at.who, at.week.id, SECONDS, asked_of(at, Room(at.number, task, how))
    )
    st.session_state["watching"] = run.id
    choose("task", None)


def asked_of(at: Here, room: Room) -> Room | Broken:
    """In a plan that was made in the middle of its week, what has happened since counts too.

    Raises
    ------
    BookError
        It is a proposal, and something has happened since it was worked out.
    """
    assert at.week is not None and at.kept is not None
    file = plan_file(at.book, at.who, room.number)
    if file.plan.past is None:
        return room
    if at.hangs is None or at.hangs.number != room.number:
        answered_by(at, at.kept)
        return room
    minute = max(now_in(file.scenario, at.book.clock()), file.plan.past.now)
    now = file.scenario.clock.local(minute).replace(tzinfo=None)
    return Broken(room.number, still_on(at, now), now, room)

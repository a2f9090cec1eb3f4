"""Making room for one task: the week is planned anew around it, and held beside what was."""

from __future__ import annotations

from typing import Any

import streamlit as st

from ui.bar import the_runs
from ui.here import Here, choose
from ui.planning import Room

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
    room = Room(at.number, task, how)
    run = the_runs().begin(at.book, at.who, at.week.id, SECONDS, room)
    st.session_state["watching"] = run.id
    choose("task", None)

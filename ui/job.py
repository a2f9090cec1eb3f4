"""A job in a dialog: what it is, and what may be done with it."""

from __future__ import annotations

import streamlit as st

from scheduler.plan.words import Names
from ui.here import Here, choose, chosen
from ui.wording import plain


def open_job(task: str) -> None:
    """Have the dialog of a task open when the page is next drawn."""
    choose("task", task)
    st.session_state["job-open"] = task


def _closed() -> None:
    choose("task", "")
    st.session_state["job-open"] = ""
    st.session_state["chart-job"] = None
    # A chart with another key has nothing marked: the same bar can be clicked again.
    st.session_state["chart-turn"] = st.session_state.get("chart-turn", 0) + 1


def job_open(at: Here, names: Names) -> None:
    """Draw the dialog, where one is open."""
    task = st.session_state.get("job-open", chosen("task"))
    if task in names.tasks:
        title = plain(names.batch(names.tasks[task].batch), 80)
        st.dialog(title, width="medium", on_dismiss=_closed)(_job)(at, names, task)


def _job(at: Here, names: Names, task: str) -> None:
    known = names.tasks[task]
    st.write(plain(names.step(known.batch, known.step)))

"""A job in a dialog: what it is, what is before and after it, and what may be done with it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from scheduler.plan.binding import binding
from scheduler.plan.jobs import places_of
from scheduler.plan.probing import probing
from scheduler.plan.words import Names
from ui.by_hand import DONE, by_hand, forget
from ui.here import Here, choose, chosen
from ui.trying import done_in, reach
from ui.wording import plain

MakeRoom = Callable[[Here, str, dict[str, Any]], None]
"""Plans the week anew around a task: what of it is to stay, as `keep_task` takes it."""
MOST = 8
"""Lines of what is before or after; the rest is counted."""


def open_job(task: str) -> None:
    """Have the dialog of a task open when the page is next drawn."""
    forget()
    choose("task", task)


def _closed() -> None:
    forget()
    choose("task", "")
    st.session_state["chart-job"] = None
    # A chart with another key has nothing marked: the same bar can be clicked again.
    st.session_state["chart-turn"] = st.session_state.get("chart-turn", 0) + 1


def job_open(at: Here, names: Names, make_room: MakeRoom | None = None) -> None:
    """Draw the dialog of the task in the address, where it names one of this plan.

    Parameters
    ----------
    at : Here
    names : Names
    make_room : callable, optional
        Offered where a change breaks something.
    """
    done = st.session_state.pop(DONE, "")
    if done:
        st.toast(done)
    task = chosen("task")
    if task in names.tasks:
        known = names.tasks[task]
        load = f" ({known.load} of {known.loads})" if known.loads > 1 else ""
        title = f"{names.batch(known.batch)}: {names.step(known.batch, known.step)}{load}"
        st.dialog(plain(title, 90), width="large", on_dismiss=_closed)(_job)(
            at, names, task, make_room
        )


def _job(at: Here, names: Names, task_id: str, make_room: MakeRoom | None) -> None:
    if DONE in st.session_state:
        st.rerun()  # All of the page: it shows another plan now.
    task = names.tasks[task_id]
    same_day = names.local(task.start).date() == names.local(task.end).date()
    until = names.clock(task.end) if same_day else names.moment(task.end)
    long = names.length(task.end - task.start)
    st.write(
        f"**{plain(names.goes_in(task))}**, {names.moment(task.start)} to {until} ({long})"
    )
    taken = (*task.taken, *(t for v in task.visits for t in v.taken))
    where = places_of(names, taken)
    if where:
        st.write(f"On: {plain(where, 300)}")
    note = probing(names, task)
    if note:
        st.write(plain(note, 400))
    _lines("Hands", [done_in(names, task, v) for v in task.visits], "Nobody's.")
    hangs = binding(names.scenario, names.plan, task_id)
    left, right = st.columns(2)
    with left:
        _lines("Comes before it", [t.said for t in hangs.before], "Nothing has to be ready.")
    with right:
        _lines("Comes after it", [t.said for t in hangs.after], "Nothing waits for it.")
    _lines("Holds it where it is", [*(h.said for h in hangs.holds), reach(names, hangs)], "")
    if at.leads:
        st.divider()
        by_hand(at, names, task, make_room)


def _lines(title: str, lines: list[str], nothing: str) -> None:
    said = [f"- {plain(line[:1].upper() + line[1:], 300)}" for line in lines[:MOST]] or [nothing]
    if len(lines) > MOST:
        said.append(f"- and {len(lines) - MOST} more")
    st.markdown(f"**{title}**\n\n" + "\n".join(said))

"""The bar on top of every page: which week, which plan, and planning it anew."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import streamlit as st

from scheduler.book.listing import weeks
from scheduler.book.plans import KeptPlan
from scheduler.plan.words import several
from ui.here import Here, choose
from ui.moments import told
from ui.planning import Run, Runs
from ui.refusing import refusing
from ui.wording import plain, short

SECONDS = {10: "10 seconds", 20: "20 seconds", 60: "1 minute", 300: "5 minutes", 900: "15 minutes"}
PLANS = Path(__file__).parent / "screens" / "plans.py"
"""Where two plans stand side by side."""
SETBACK = Path(__file__).parent / "screens" / "setback.py"
"""Where somebody says what has happened."""
_QUICK, _SLOW = 0.7, 12.0
"""Seconds between two looks: while something is planned, and to notice what others do."""


@st.cache_resource(show_spinner=False)
def the_runs() -> Runs:
    """What this server plans, one for everybody."""
    return Runs()


def bar(at: Here) -> None:
    """Draw the bar."""
    if at.week is None:
        return
    run = the_runs().of(at.book, at.who.kitchen, at.week.id)
    running = run is not None and not run.over
    # On a phone what does not fit beside goes below: the page is to begin on the first screen.
    with st.container(horizontal=True, vertical_alignment="center", gap="small"):
        _which_week(at)
        _which_plan(at)
        if at.hangs is not None:
            query = urlencode({"kitchen": at.who.kitchen, "week": at.week.id})
            # Streamlit's own links open another tab.
            way = f'<a href="/sheet?{escape(query)}" style="color: inherit">Sheets</a>'
            st.html(way, width="content")
        if at.leads:
            _ask(at, running)
            if at.hangs is not None and not running and st.button("Setback", key="bar-setback"):
                st.switch_page(str(SETBACK))
    every = _QUICK if running else _SLOW
    _watch(at, running, every)


def _which_week(at: Here) -> None:
    assert at.week is not None
    there = {w.id: w for w in weeks(at.book, at.who)}
    if len(there) < 2:
        st.markdown(f"**{plain(at.week.name, 60)}**", width="content")
        return

    def go() -> None:
        choose("week", st.session_state["bar-week"])
        choose("plan", None)
        choose("task", None)

    st.session_state["bar-week"] = at.week.id
    st.selectbox(
        "Week", list(there), key="bar-week", on_change=go,
        format_func=lambda id: short(there[id].name, 60),
        label_visibility="collapsed", width=300,
    )  # fmt: skip


def _which_plan(at: Here) -> None:
    known = {p.number: p for p in at.plans}
    if not known:
        st.caption("not planned yet", width="content")
        return

    # Of each plan a key of its own: a browser that has not heard yet of a new plan sends the old
    # one with whatever it asks next, and that must not pass for a choice.
    key = f"bar-plan-{at.number}"

    def go() -> None:
        choose("plan", st.session_state[key])
        choose("task", None)

    st.session_state[key] = at.number
    st.selectbox(
        "Plan", list(known), key=key, on_change=go,
        format_func=lambda n: called(at, known[n]),
        label_visibility="collapsed", width=370,
    )  # fmt: skip


def called(at: Here, plan: KeptPlan) -> str:
    """What a plan is called: its number, when it was made, where it hangs."""
    where = "on the wall" if at.hangs is not None and at.hangs.number == plan.number else ""
    short_of = "" if plan.served else "not everything served"
    breaks = "" if plan.valid else "breaks a rule"
    marks = ", ".join(m for m in (where, breaks or short_of) if m)
    return f"Plan {plan.number}, {told(at, plan.at)}" + (f" ({marks})" if marks else "")


def _ask(at: Here, running: bool) -> None:
    assert at.week is not None
    week = at.week.id

    def begin() -> None:
        with refusing():
            seconds = float(st.session_state.get("bar-seconds", 20))
            run = the_runs().begin(at.book, at.who, week, seconds)
            st.session_state["watching"] = run.id

    def stop() -> None:
        run = the_runs().of(at.book, at.who.kitchen, week)
        if run is not None:
            run.stop()

    if running:
        st.button("Stop, and keep the best", on_click=stop, key="bar-stop")
        return
    word = "Plan anew" if at.plans else "Plan this week"
    st.button(word, type="primary", on_click=begin, key="bar-begin")
    with st.popover("How long"):
        st.selectbox(
            "Search for", list(SECONDS), index=1, key="bar-seconds",
            format_func=SECONDS.__getitem__,
        )  # fmt: skip
        st.caption("The first plan comes within seconds and gets better meanwhile.")


def _watch(at: Here, running: bool, every: float) -> None:
    """Look now and then how far the planning is, and whether somebody else has changed something.

    Only what is drawn in here is drawn again, so nobody is disturbed in typing.
    """
    show: Callable[[], Any] = st.fragment(lambda: _told(at, running), run_every=every)
    show()


def _told(at: Here, running: bool) -> None:
    assert at.week is not None
    run = the_runs().of(at.book, at.who.kitchen, at.week.id)
    if run is None:
        return
    mine = st.session_state.get("watching") == run.id
    seen = st.session_state.get("bar-seen")
    now = (run.id, run.first, run.number, run.over)
    if mine and seen != now:
        st.session_state["bar-seen"] = now
        if run.number is not None and (run.over or run.first == run.number):
            choose("plan", run.number)
        if run.older is not None and run.over and run.number not in (None, run.older):
            st.session_state["plans-beside"] = run.older
            st.switch_page(str(PLANS))
        if seen is not None or run.first is not None or run.over:
            st.rerun()
    if running and run.over:
        st.rerun()  # also where somebody else looks on: there is nothing left to stop
    if not run.over:
        part = min(1.0, run.took / max(run.seconds, 0.1))
        st.progress(part, text=plain(progress(run), 300))
        return
    for problem in run.wrong[:12]:
        st.error(plain(problem, 600))
    if run.word:
        st.warning(plain(run.word, 600))
    if run.number is not None and run.number != at.number and not mine:
        st.info(f"Plan {run.number} has just been made.")
        st.button(f"Look at plan {run.number}", on_click=choose, args=("plan", run.number))


def progress(run: Run) -> str:
    """How far a run is, in one line."""
    took = f"{min(run.took, run.seconds):.0f} s of {run.seconds:.0f}"
    if run.first is None:
        return f"Planning, {took}: working out what must be made"
    terms = run.said.get("terms", {})
    short_of = sum(terms.get("served", ()))
    served = "every event served" if run.said.get("served") else (
        f"{several(short_of, 'portion')} still short" if short_of else "not everything placed yet"
    )
    stale = terms.get("quality")
    rest = "" if stale is None else f"; {stale} weighted minutes from its best"
    return f"Plan {run.first} is here and gets better, {took}: {served}{rest}"

"""Two plans of a week side by side: what moves, for whom, where it was, what it does."""

from __future__ import annotations

from datetime import date

import pandas as pd
import plotly.graph_objects as go
import streamlit as st

from scheduler.book.plans import KeptPlan
from scheduler.plan.changes import Comparison, PersonChange
from scheduler.plan.comparing import compare
from scheduler.plan.words import Names, day_words
from ui.bar import called
from ui.charts.beside import beside, moments_with
from ui.charts.figure import figure
from ui.charts.frame import PHONE, WIDTH
from ui.charts.window import window
from ui.here import Here, names_of, plan_file
from ui.palette import Palette
from ui.theme import colours, on_phone
from ui.wording import plain


def side_by_side(at: Here, others: list[KeptPlan]) -> None:
    """What moves between another plan and the one that is looked at, and for whom."""
    assert at.number is not None
    by_number = {p.number: p for p in others}
    hangs = None if at.hangs is None else at.hangs.number
    usual = hangs if hangs in by_number else others[0].number
    st.markdown("##### Side by side")
    if st.session_state.get("plans-beside") not in by_number:
        st.session_state["plans-beside"] = usual
    other = st.selectbox(
        f"Plan {at.number} beside", list(by_number), key="plans-beside", width=520,
        format_func=lambda n: called(at, by_number[n]),
    )  # fmt: skip
    found = _compared(at.book.where, at.who.kitchen, other, at.number, at)
    st.write(f"From plan {other} to plan {at.number}: **{plain(found.headline, 400)}**")
    _events(found)
    people, batches, chart, figures = st.tabs(
        [f"Brigade ({len(found.people)})", f"Batches ({len(found.batches)})", "Chart", "Figures"]
    )
    with people:
        for person in found.people:
            _person(person)
        if not found.people:
            st.write("Nobody's work changes.")
    with batches:
        rows = [{"batch": b.name, "what changes": b.said} for b in found.batches]
        if rows:
            st.dataframe(pd.DataFrame(rows), hide_index=True, width="stretch")
        else:
            st.write("Every batch stays as it is.")
    with chart:
        _old_and_new(at, other, found)
    with figures:
        rows = [
            {
                "figure": f.name,
                f"plan {other}": f.before,
                f"plan {at.number}": f.after,
                "": {True: "better", False: "worse", None: ""}[f.better],
            }
            for f in found.figures
        ]
        st.dataframe(pd.DataFrame(rows), hide_index=True, width="stretch")


@st.cache_resource(show_spinner="Comparing …", max_entries=16)
def _compared(where: str, kitchen: str, old: int, new: int, _at: Here) -> Comparison:
    return compare(plan_file(_at.book, _at.who, old), plan_file(_at.book, _at.who, new))


def _old_and_new(at: Here, other: int, found: Comparison) -> None:
    """The work of everybody for whom something changes, and where it was, day by day."""
    names = names_of(at)
    if names is None or not found.people:
        st.write("Nobody's work changes.")
        return
    clock = names.scenario.clock
    days = list(dict.fromkeys(clock.local(minute).date() for minute in moments_with(found)))
    if st.session_state.get("plans-beside-day") not in days:
        st.session_state["plans-beside-day"] = days[0]
    day = st.selectbox("Day", days, key="plans-beside-day", format_func=day_words, width=200)
    st.plotly_chart(
        _drawn(at.book.where, at.who.kitchen, other, at.number, day, colours(), on_phone(), names,
               found),
        key="plans-beside-chart", theme=None,
        config={"displayModeBar": False, "scrollZoom": False},
        alt=f"What changes for whom on {day_words(day)}; Brigade says the same in words.",
    )  # fmt: skip
    st.caption(
        "Upright strokes on pale: where it was. Everything else is as the newer plan has it."
    )


@st.cache_resource(show_spinner=False, max_entries=24)
def _drawn(
    where: str, kitchen: str, old: int, new: int | None, day: date, hues: Palette, narrow: bool,
    _names: Names, _found: Comparison,
) -> go.Figure:  # fmt: skip
    looked = window(_names.scenario.clock, "day", day)
    return figure(
        _names, beside(_found, _names), looked, hues, width=PHONE if narrow else WIDTH
    )


def _events(found: Comparison) -> None:
    said = [f"- {plain(e.name)} {plain(e.said, 300)}" for e in found.events if e.said]
    if said:
        st.markdown("\n".join(said))


def _person(person: PersonChange) -> None:
    count = len(person.jobs)
    title = f"{plain(person.name)}: {count} {'job' if count == 1 else 'jobs'}"
    with st.expander(title):
        st.markdown("\n".join(f"- {plain(job.said, 300)}" for job in person.jobs))

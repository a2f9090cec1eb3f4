"""The plan as a chart, or as the list that says the same; a click opens the job."""

from __future__ import annotations

from typing import get_args

import plotly.graph_objects as go
import streamlit as st

from scheduler.plan.words import Names, day_words, several
from ui.charts.bars import KINDS, OF_A_PLAN
from ui.charts.figure import figure
from ui.charts.frame import PHONE, WIDTH
from ui.charts.listing import listed
from ui.charts.rows import ROWS, By, Row, only, rows_of, within
from ui.charts.window import TICK, Window
from ui.here import Here, choose
from ui.job import job_open, open_job
from ui.making_room import make_room
from ui.now import now_in
from ui.palette import Palette
from ui.picking import pick, ready, ready_several
from ui.planned import planned
from ui.theme import colours, on_phone
from ui.when import when
from ui.wording import plain

VIEWS = ("chart", "list")


def show(at: Here) -> None:
    """Draw it."""
    names = planned(at, "the chart of the plan")
    if names is not None and at.number is not None:
        _page(at, names, at.number)
        job_open(at, names, make_room)


@st.cache_resource(show_spinner=False, max_entries=48)
def _rows(where: str, kitchen: str, number: int, by: By, _names: Names) -> tuple[Row, ...]:
    return rows_of(_names, by)


@st.cache_resource(show_spinner=False, max_entries=48)
def _figure(
    where: str, kitchen: str, number: int, by: By, kinds: tuple[str, ...], looked: Window,
    now: int, hues: Palette, narrow: bool, _names: Names, _rows: tuple[Row, ...],
) -> go.Figure:  # fmt: skip
    return figure(_names, _rows, looked, hues, now, PHONE if narrow else WIDTH)


def _controls(names: Names, now: int) -> tuple[str, By, tuple[str, ...], Window]:
    """What is looked at: the view, the rows, the kinds of bar, and when."""
    view, length, day, by = st.columns([1.2, 2, 1.6, 1.6], vertical_alignment="bottom")
    view.segmented_control(
        "Shown as", VIEWS, required=True,
        key=ready("view", VIEWS, "list" if on_phone() else "chart"),
        on_change=pick, args=("view",),
    )  # fmt: skip
    looked = when(names, now, length, day)
    by.selectbox(
        "Rows", list(ROWS), format_func=ROWS.__getitem__,
        key=ready("rows", list(ROWS), "section"), on_change=pick, args=("rows",),
    )  # fmt: skip
    kinds = st.pills(
        "Kinds of bar", OF_A_PLAN, selection_mode="multi", format_func=KINDS.__getitem__,
        key=ready_several("kinds", list(OF_A_PLAN), list(OF_A_PLAN)), on_change=pick,
        args=("kinds",), label_visibility="collapsed",
    )  # fmt: skip
    rows: dict[str, By] = {one: one for one in get_args(By)}
    return (
        str(st.session_state["pick-view"]), rows[str(st.session_state["pick-rows"])],
        tuple(k for k in OF_A_PLAN if k in kinds), looked,
    )  # fmt: skip


def clicked(key: str) -> None:
    """Open what has been clicked; several joined in one bar open their day."""
    points = st.session_state[key]["selection"]["points"]
    if not points:
        return  # A second click on a bar takes its mark away and means nothing here.
    task, day = points[0]["customdata"][:2]
    if task:
        open_job(task)
    elif st.session_state.get("pick-length") != "day":
        for name, value in (("day", day), ("length", "day")):
            st.session_state[f"pick-{name}"] = value
            choose(name, value)


def _picked_row(key: str, tasks: list[str]) -> None:
    rows = st.session_state[key]["selection"]["rows"]
    if rows and tasks[rows[0]]:
        open_job(tasks[rows[0]])


def _picked_job() -> None:
    task = st.session_state.get("chart-job")
    if task:
        open_job(task)


def _page(at: Here, names: Names, number: int) -> None:
    now = now_in(names.scenario, at.book.clock()) // TICK * TICK
    view, by, kinds, looked = _controls(names, now)
    mark = (at.book.where, at.who.kitchen, number, by)
    rows = only(_rows(*mark, names), kinds)
    there = within(rows, looked.start, looked.end)
    if not any(row.bars for row in there):
        st.info("Nothing of the plan is on these days. Choose another day, or more kinds of bar.")
        return
    turn = st.session_state.get("chart-turn", 0)
    if view == "chart":
        key = f"chart-{turn}"
        st.plotly_chart(
            _figure(*mark, kinds, looked, now, colours(), on_phone(), names, rows),
            key=key, on_select=lambda: clicked(key), selection_mode="points", theme=None,
            config={"displayModeBar": False, "scrollZoom": False},
            alt=f"The plan {ROWS[by]}, {several(looked.days, 'day')} from "
            f"{day_words(looked.first)}; the list says the same in words.",
        )  # fmt: skip
        _legend(names)
    else:
        lines = listed(names, there, looked)
        key = f"chart-list-{turn}"
        tasks = [line.task for line in lines]
        st.dataframe(
            {
                "From": [x.start for x in lines], "What": [x.what for x in lines],
                "To": [x.end for x in lines], "More": [x.more for x in lines],
                "Who": [x.who for x in lines], "Row": [x.row for x in lines],
                "Kind": [x.kind for x in lines],
            },
            hide_index=True, key=key, selection_mode="single-row",
            on_select=lambda: _picked_row(key, tasks), height=560,
        )  # fmt: skip
    tasks_there = {b.task: None for r in there for b in r.bars if b.task}
    st.selectbox(
        "Open a job", list(tasks_there), index=None, key="chart-job", on_change=_picked_job,
        format_func=lambda t: _task_words(names, t), placeholder="Choose, or click a bar",
    )  # fmt: skip


def _task_words(names: Names, task: str) -> str:
    known = names.tasks.get(task)
    if known is None:
        return task
    load = f" {known.load} of {known.loads}" if known.loads > 1 else ""
    does = names.step(known.batch, known.step)
    return f"{names.moment(known.start)}  {names.batch(known.batch)}: {does}{load}"


def _legend(names: Names) -> None:
    st.caption(
        "Solid: hands at work. Slanted strokes: runs by itself. Pale: waits. Dots: standing duty. "
        "Crossed: clean-down. Level strokes: break. Dashed lines: plates go away. "
        "Shaded: nobody is on shift. Times are the kitchen's "
        f"({plain(names.scenario.kitchen.zone)})."
    )

"""Changing one task by hand in its dialog, each try answered by the audit at once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

import streamlit as st

from scheduler.book.kept import keep_task, kept, let_go
from scheduler.book.plans import keep
from scheduler.plan.changes import Comparison
from scheduler.plan.file import PlanFile
from scheduler.plan.model import PlannedTask
from scheduler.plan.moving import NotByHand
from scheduler.plan.words import Names
from ui.charts.window import wall
from ui.here import Here, choose
from ui.refusing import refusing
from ui.trying import (
    Tried,
    Try,
    as_it_is,
    as_kept,
    beside,
    done_in,
    minute_of,
    text_of,
    tried,
    units_for,
)  # fmt: skip
from ui.wording import plain, short

WAYS = {
    "move": "Move it",
    "give": "Give it to somebody else",
    "put": "Put it on another unit",
    "keep": "Keep it",
}
STEPS = (-60, -15, 15, 60)
"""Minutes that the buttons move a task by."""
STAYS = {"start": "its start", "people": "its people", "equipment": "its units"}
_OURS = "hand-"
DONE = "done-by-hand"
"""In the state of the session: what has just been done, until it has been said."""


def forget() -> None:
    """Forget what was tried: another job is looked at, or none."""
    for key in [k for k in st.session_state if str(k).startswith(_OURS)]:
        del st.session_state[key]


def by_hand(
    at: Here, names: Names, task: PlannedTask,
    make_room: Callable[[Here, str, dict[str, Any]], None] | None,
) -> None:  # fmt: skip
    """Draw the ways to change a task, and what the audit says of the one that is tried."""
    ways = [w for w in WAYS if _possible(w, names, task)]
    way = st.segmented_control(
        "Change it", ways, format_func=WAYS.__getitem__, key="hand-way",
        on_change=_nothing_tried, label_visibility="collapsed",
    )  # fmt: skip
    if way == "move":
        _move(names, task)
    elif way == "give":
        _give(names, task)
    elif way == "put":
        _put(names, task)
    elif way == "keep":
        _keep(at, names, task)
    one = st.session_state.get("hand-try")
    if isinstance(one, Try) and one.task == task.id:
        _answered(at, names, one, make_room)


def _possible(way: str, names: Names, task: PlannedTask) -> bool:
    if way == "give":
        return bool(task.visits)
    return way != "put" or bool(_elsewhere(names, task))


def _elsewhere(names: Names, task: PlannedTask) -> dict[int, tuple[str, ...]]:
    return {need: units for need, units in units_for(names, task).items() if len(units) > 1}


def _nothing_tried() -> None:
    for key in [k for k in st.session_state if str(k).startswith(_OURS) and k != "hand-way"]:
        del st.session_state[key]


def _move(names: Names, task: PlannedTask) -> None:
    clock = names.scenario.clock
    one = st.session_state.get("hand-try")
    start = one.start if isinstance(one, Try) and one.start is not None else task.start

    def by(minutes: int) -> None:
        minute = start + minutes
        st.session_state["hand-start"] = wall(clock, minute)
        st.session_state["hand-try"] = Try(task.id, start=minute)

    def to() -> None:
        moment = st.session_state.get("hand-start")
        if isinstance(moment, datetime):
            st.session_state["hand-try"] = Try(task.id, start=minute_of(names, moment))

    st.session_state.setdefault("hand-start", wall(clock, start))
    first, *buttons = st.columns([3, 1.2, 1.2, 1.2, 1.2], vertical_alignment="bottom")
    first.datetime_input(
        f"Start, now {names.moment(task.start)}", key="hand-start", on_change=to,
        format="DD.MM.YYYY", step=max(60, names.scenario.kitchen.grid * 60), required=True,
        min_value=None, max_value=None,
    )  # fmt: skip
    for column, minutes in zip(buttons, STEPS, strict=True):
        word = f"{abs(minutes)} min {'later' if minutes > 0 else 'earlier'}"
        column.button(word, key=f"hand-by{minutes}", on_click=by, args=(minutes,), width="stretch")


def _give(names: Names, task: PlannedTask) -> None:
    visits = {f"{v.kind} {v.index}": v for v in task.visits}
    if st.session_state.get("hand-visit") not in visits:
        st.session_state["hand-visit"] = next(iter(visits))

    def other() -> None:
        st.session_state.pop("hand-people", None)
        st.session_state.pop("hand-try", None)

    if len(visits) > 1:
        st.selectbox(
            "Which visit", list(visits), key="hand-visit", on_change=other,
            format_func=lambda k: short(done_in(names, task, visits[k])),
        )  # fmt: skip
    visit = visits[st.session_state["hand-visit"]]

    def give() -> None:
        people = tuple(st.session_state.get("hand-people", ()))
        st.session_state["hand-try"] = Try(
            task.id, visit=(visit.kind, visit.index), people=people
        )

    st.session_state.setdefault("hand-people", list(visit.people))
    st.multiselect(
        "Who does it", [p.id for p in names.scenario.kitchen.people], key="hand-people",
        format_func=lambda p: short(names.person(p), 40), on_change=give,
        placeholder="Choose who does it",
    )  # fmt: skip


def _put(names: Names, task: PlannedTask) -> None:
    for need, units in _elsewhere(names, task).items():
        key = f"hand-unit-{need}"
        there = next(t.unit for t in task.taken if t.need == need)

        def put(key: str = key, need: int = need) -> None:
            unit = st.session_state.get(key)  # Gone where another way was chosen meanwhile.
            if unit:
                st.session_state["hand-try"] = Try(task.id, need=need, unit=unit)

        st.session_state.setdefault(key, there)
        st.selectbox(
            "On which unit", units, key=key, on_change=put,
            format_func=lambda u: short(names.unit(u), 60),
        )  # fmt: skip


def _keep(at: Here, names: Names, task: PlannedTask) -> None:
    """Whatever is planned anew, this stays; said of the task as it is in this plan."""
    assert at.week is not None and at.number is not None
    week, number = at.week.id, at.number
    now = next((k for k in kept(at.book, at.who, week) if k.task == task.id), None)
    can = as_it_is(names, task)

    def go() -> None:
        with refusing():
            stays = {k: can[k] for k in st.session_state.get("hand-stays", ())}
            keep_task(at.book, at.who, number, task.id, stays)

    def let() -> None:
        with refusing():
            let_go(at.book, at.who, week, task.id)

    if now is not None:
        said = [STAYS[k] for k in STAYS if getattr(now.how, k)]
        st.write(f"Whatever is planned anew, {' and '.join(said)} stays: said by {plain(now.who)}.")
        st.button("Let it go", key="hand-let-go", on_click=let)
    st.session_state.setdefault("hand-stays", list(can))
    st.pills(
        "What of it stays, whatever is planned anew", list(can), selection_mode="multi",
        key="hand-stays", format_func=STAYS.__getitem__,
    )  # fmt: skip
    st.button(
        "Keep it so", key="hand-keep", on_click=go, disabled=not st.session_state["hand-stays"]
    )


@st.cache_resource(show_spinner=False, max_entries=64)
def _try(where: str, kitchen: str, number: int, one: Try, _file: PlanFile) -> Tried | str:
    try:
        return tried(_file, one)
    except NotByHand as error:
        return str(error)


@st.cache_resource(show_spinner=False, max_entries=32)
def _beside(
    where: str, kitchen: str, number: int, one: Try, _file: PlanFile, _tried: Tried
) -> Comparison:
    return beside(_file, _tried)


def _answered(
    at: Here, names: Names, one: Try,
    make_room: Callable[[Here, str, dict[str, Any]], None] | None,
) -> None:  # fmt: skip
    """What the audit says of a try, and what can be done about it."""
    file, number = at.file, at.number
    assert file is not None and number is not None
    mark = (at.book.where, at.who.kitchen, number, one)
    with st.spinner("The audit reads it …", show_time=False):
        found = _try(*mark, file)
    if isinstance(found, str):
        st.warning(plain(found, 400), icon=None)
        return
    if found.plan == file.plan:
        st.write("That is as it is now.")
        return
    said = found.answer
    if said.verdict == "fine":
        st.success(plain(said.headline, 400), icon=None)
        _can_be_kept(at, one, found, _beside(*mark, file, found))
        return
    st.error(plain(said.headline, 500), icon=None)
    more = [f"- {plain(b.said, 400)}" for b in said.breaks[1:9]]
    if more:
        st.markdown("\n".join(more))
    if make_room is not None:

        def room() -> None:
            with refusing():
                make_room(at, one.task, as_kept(names, one))
                _nothing_tried()
                st.session_state[DONE] = "Room is being made."  # Draws the whole page anew.

        st.button("Make room for it", key="hand-room", on_click=room, type="primary")
        st.caption("The week is planned anew around it; you compare before anything changes.")


def _can_be_kept(at: Here, one: Try, found: Tried, comparison: Comparison) -> None:
    """What it changes, for whom; then it may be kept as a plan of its own."""
    st.write(plain(comparison.headline, 400))
    lines = [
        f"- {plain(person.name)}: {plain(job.said, 300)}"
        for person in comparison.people
        for job in person.jobs
    ]
    st.markdown("\n".join(lines[:12] + ([f"- and {len(lines) - 12} more"] * (len(lines) > 12))))
    file, number = at.file, at.number
    assert file is not None

    def go() -> None:
        with refusing():
            new = keep(at.book, at.who, text_of(file, found), replaces=number)
            choose("plan", new.number)
            _nothing_tried()
            st.session_state[DONE] = f"Kept as plan {new.number}."

    st.button("Keep this as a new plan", key="hand-new", on_click=go, type="primary")
    st.caption(f"Plan {number} stays as it is, and so does the wall.")

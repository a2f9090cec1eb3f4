"""Something has happened: what, to what, since when; then the rest of the week is worked out anew.

What is likely stands first: machines that are in use, people who are on duty. Nothing changes
before somebody puts the new plan on the wall.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import datetime

import streamlit as st

from scheduler.book.setbacks import enter_setback, setbacks, take_back
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.times import read_moment
from scheduler.plan.words import SAFETY, Names
from scheduler.reshuffle.setback import Setback, setback_of
from ui.bar import the_runs
from ui.happened import (
    ASKS,
    KINDS,
    NONE,
    RUNNING,
    fields,
    read_moment_or_say,
    since_then,
    still_on,
    there_is,
    told_of,
)
from ui.here import Here
from ui.now import now_in
from ui.planned import planned
from ui.planning import Broken, anew
from ui.refusing import refusing
from ui.wording import plain, short

SECONDS = 10.0
"""Time to look for a plan with little moved; the first one comes sooner."""
LIKELY = 12
"""So many are offered to be touched; the rest stands in a list."""


def show(at: Here) -> None:
    """Draw it."""
    names = planned(at, "what has happened")
    if names is None or at.week is None or at.number is None:
        return
    st.subheader("What has happened?")
    if not at.leads:
        st.write("Tell the sous or the chef: who leads enters it, and works the rest out anew.")
        return
    if at.hangs is None or at.hangs.number != at.number:
        st.warning(f"Plan {at.number} is not the one on the wall.", icon=None)
    clock = names.scenario.clock
    now = clock.local(now_in(names.scenario, at.book.clock())).replace(tzinfo=None)
    st.session_state.setdefault("setback-now", f"{now:%Y-%m-%d %H:%M}")
    with refusing():
        _entered(at, names)
    st.segmented_control(
        "Kind", list(KINDS), format_func=KINDS.__getitem__, key=_ready("kind", "down"),
        required=True, label_visibility="collapsed",
    )  # fmt: skip
    kind = str(st.session_state["setback-kind"])
    there = there_is(at, names, kind, _now(now))
    _which(kind, there)
    _more(kind, now)

    def go() -> None:
        with refusing():
            _work_out(at, names, there)

    st.button("Work it out anew", type="primary", key="setback-go", on_click=go)
    st.caption(
        "What has begun stays as it is. The proposal stands beside the plan on the wall, and "
        f"nothing changes before you put it up. {plain(SAFETY)}"
    )


def _ready(key: str, otherwise: str) -> str:
    st.session_state.setdefault(f"setback-{key}", otherwise)
    return f"setback-{key}"


def _now(otherwise: datetime) -> datetime:
    """What is typed, as far as it can be read."""
    try:
        return read_moment(str(st.session_state["setback-now"]))
    except ValueError:
        return otherwise


def _which(kind: str, there: dict[str, str]) -> None:
    first = list(there)[:LIKELY]
    if not there:
        st.info(NONE.get(kind, "There is none of these in this week."), icon=None)
        return
    st.pills(
        ASKS[kind], first, format_func=lambda id: short(there[id], 60), key=f"setback-{kind}",
    )  # fmt: skip
    if len(there) > len(first):
        st.selectbox(
            "Another", list(there)[LIKELY:], index=None, key=f"setback-{kind}-other",
            format_func=lambda id: short(there[id], 90), placeholder="choose",
        )  # fmt: skip


def _more(kind: str, now: datetime) -> None:
    """What may be said besides; left alone, the likely holds."""
    if kind == "counts":
        st.number_input("Guests by now", 0, 100000, 50, key="setback-guests")
    if kind == "moved":
        st.text_input("First plate now", key="setback-to", placeholder="20:15")
    if kind == "ends":
        st.text_input("It is over at", key="setback-over", placeholder="16:40")
    if kind == "delivery":
        st.text_input("It comes at", key="setback-comes", placeholder="15:00")
        st.checkbox("It does not come at all", key="setback-never")
    if kind == "stuck":
        st.number_input("It stays at, °C", 0, 400, 180, key="setback-celsius")
    if kind == "not-there":
        st.text_input("So much longer", key="setback-longer", placeholder="as the test says")
    if kind in ("counts", "moved", "cancelled"):
        st.caption("The plan follows; what is written under Menu stays as it is.")
    with st.expander("Since when, until when, what becomes of it"):
        st.text_input("Now, by the kitchen's clock", key="setback-now")
        if kind in RUNNING:
            left, right = st.columns(2)
            left.text_input("Since", key="setback-since", placeholder="now")
            right.text_input("Until", key="setback-until", placeholder="the end of the day")
            st.checkbox("What was running starts again", key="setback-again")
        if kind == "down":
            st.number_input("Places or shelves still of use", 0, 10000, 0, key="setback-left")
            st.text_input(
                "A store: last read cold enough", key="setback-cold", placeholder="nobody knows"
            )
        if kind == "lost":
            st.text_input("Still of use", key="setback-rest", placeholder="nothing")


def _work_out(at: Here, names: Names, there: dict[str, str]) -> None:
    """Have what the form says worked out."""
    now = read_moment_or_say(st.session_state["setback-now"], "now")
    kind = str(st.session_state["setback-kind"])
    which = st.session_state.get(f"setback-{kind}-other") or st.session_state.get(f"setback-{kind}")
    new: list[Setback] = []
    if which in there:
        new = [setback_of(fields(at, names, kind, str(which), now))]
    work_out(at, names, new, now)


def work_out(at: Here, names: Names, new: Sequence[Setback], now: datetime) -> None:
    """Enter what has happened, and have the rest worked out; refused, nothing is entered."""
    assert at.week is not None and at.number is not None
    before, new = still_on(at, now), [since_then(one, now) for one in new]
    if not new and not before:
        raise BadInput([Problem("", None, None, "", "choose what has happened, and to what")])
    broken = Broken(at.number, (*before, *new), now)
    anew(at.book, at.who, at.week.id, broken)  # Nonsense is said before anything is entered.
    zone = names.scenario.clock.zone
    for one in new:
        body = one.model_dump(mode="json", exclude={"kind"}, exclude_defaults=True)
        enter_setback(
            at.book, at.who, uuid.uuid4().hex, at.week.id, one.kind, body,
            now.replace(tzinfo=zone),
        )  # fmt: skip
    run = the_runs().begin(at.book, at.who, at.week.id, SECONDS, broken)
    st.session_state["watching"] = run.id


def _entered(at: Here, names: Names) -> None:
    """What has been entered and no plan on the wall has dealt with yet."""
    assert at.week is not None
    week = at.week.id
    open_ = [s for s in setbacks(at.book, at.who, week) if s.open]
    if not open_:
        return

    def back(id: str) -> None:
        with refusing():
            take_back(at.book, at.who, week, id)

    st.markdown("**Entered, and not dealt with yet**")
    for one in open_:
        said, button = st.columns([5, 1], vertical_alignment="center")
        said.write(f"{plain(told_of(names, one), 300)} (said by {plain(one.who)})")
        button.button("Take it back", key=f"setback-back-{one.id}", on_click=back, args=(one.id,))

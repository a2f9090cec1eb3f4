"""What is behind by the record and matters, and the way to work the rest out anew."""

from __future__ import annotations

from datetime import datetime

import streamlit as st

from scheduler.book.record import task_states
from scheduler.book.standing import Recorded
from scheduler.plan.words import Names
from scheduler.reshuffle.behind import Behind, behind
from scheduler.reshuffle.standing import Standing
from ui.here import Here
from ui.refusing import refusing
from ui.setback import work_out
from ui.wording import plain

MOST = 6
"""So many are shown before the rest is counted."""


def behind_now(at: Here, names: Names) -> None:
    """Draw it, for the plan on the wall; nothing where nothing that matters is behind."""
    if at.week is None or at.hangs is None or at.hangs.number != at.number:
        return
    clock = names.scenario.clock
    now = at.book.clock().astimezone(clock.zone).replace(tzinfo=None)
    if not clock.minute(names.scenario.week.plan_from) <= clock.minute(now) < clock.horizon:
        return
    found = behind_at(at, now)
    if not found:
        return
    st.markdown("##### Behind, and it matters")
    st.markdown("\n".join(f"- {plain(one.said, 400)}" for one in found[:MOST]))
    if len(found) > MOST:
        st.caption(f"and {len(found) - MOST} more")
    if not at.leads:
        st.caption("Tell the sous or the chef.")
        return

    def go() -> None:
        with refusing():
            work_out(at, names, [one.setback for one in found], now)

    st.button("Work the rest out anew", key="behind-go", on_click=go)


def behind_at(at: Here, now: datetime) -> tuple[Behind, ...]:
    """What is behind by the record at a moment of the kitchen's wall clock."""
    assert at.week is not None and at.file is not None
    states = task_states(at.book, at.who, at.week.id)
    zone = at.file.scenario.clock.zone

    def local(entry: Recorded) -> datetime:
        return entry.when.astimezone(zone).replace(tzinfo=None)

    begun = {task: local(s.begun) for task, s in states.items() if s.begun is not None}
    done = {task: local(s.ended) for task, s in states.items()
            if s.state == "done" and s.ended is not None}  # fmt: skip
    put_off = [task for task, s in states.items() if s.skipped is not None]
    return behind(Standing(at.file, now), begun, done, put_off)

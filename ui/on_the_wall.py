"""Noticing that something else hangs on the wall than when the page was drawn."""

from __future__ import annotations

import streamlit as st

from scheduler.book.wall import Hanging, hanging
from ui.here import Here
from ui.refusing import refusing
from ui.wording import plain

LOOKS = 12.0
"""Seconds between two looks at the wall."""


def watch(at: Here) -> None:
    """Say that the wall is another, and draw the page anew when it becomes one.

    Nobody is to cook from what has been taken down, so nobody is asked first.
    """
    if at.week is None:
        return
    week = at.week.id
    hangs = _number(at.hangs)
    before = st.session_state.get("wall")
    mine = at.hangs is not None and at.hangs.up_by == at.who.person  # they know, and were told
    if before is not None and before[0] == week and before[1] != hangs and not mine:
        st.toast(plain(_said(before[1], at.hangs)), duration="infinite")
    st.session_state["wall"] = (week, hangs)

    def look() -> None:
        with refusing():
            if _number(next(iter(hanging(at.book, at.who, week)), None)) != hangs:
                st.rerun()

    st.fragment(look, run_every=LOOKS)()


def _number(up: Hanging | None) -> int | None:
    return None if up is None else up.number


def _said(old: int | None, up: Hanging | None) -> str:
    if up is None:
        return f"Plan {old} has been taken off the wall by now: do not cook from it."
    bin_it = "" if old is None else f" Bin plan {old}."
    return f"Plan {up.number} is on the wall now, put up by {up.up_by}.{bin_it}"

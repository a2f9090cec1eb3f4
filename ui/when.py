"""Which stretch of the week is looked at: the same on every page that asks, and in the address."""

from __future__ import annotations

from typing import Any, get_args

import streamlit as st

from scheduler.plan.words import Names, day_words
from ui.charts.figure import day_of
from ui.charts.window import LENGTHS, Length, Window, days_of, window
from ui.picking import pick, ready


def when(names: Names, now: int, length: Any, day: Any) -> Window:
    """Draw the choice and say what is chosen.

    Parameters
    ----------
    now : int
        The present moment: its day is shown where nobody has chosen another.
    length, day : columns
        Where the two widgets stand.
    """
    clock = names.scenario.clock
    days = [d.isoformat() for d in days_of(clock)]
    today = names.local(now).date().isoformat()
    length.segmented_control(
        "How much", list(LENGTHS), required=True, format_func=lambda x: LENGTHS[x],
        key=ready("length", list(LENGTHS), "day"), on_change=pick, args=("length",),
    )  # fmt: skip
    long = str(st.session_state["pick-length"])
    day.selectbox(
        "From", days, format_func=_words, disabled=long == "all",
        key=ready("day", days, today if today in days else days[0]),
        on_change=pick, args=("day",),
    )  # fmt: skip
    first = day_of(str(st.session_state["pick-day"])) or days_of(clock)[0]
    known: dict[str, Length] = {one: one for one in get_args(Length)}
    return window(clock, known.get(long, "day"), first)


def _words(day: str) -> str:
    known = day_of(day)
    return day_words(known) if known else day

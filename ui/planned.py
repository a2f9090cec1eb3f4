"""What a page says that shows a plan, while there is none."""

from __future__ import annotations

import streamlit as st

from scheduler.plan.words import Names
from ui.here import Here, names_of


def planned(at: Here, what: str) -> Names | None:
    """What things are called in the plan that is looked at; none: what to do stands there instead.

    Parameters
    ----------
    what : str
        What stands on the page once there is a plan: "the chart of the plan".
    """
    names = names_of(at)
    if at.week is None:
        st.subheader("No week yet")
        st.write("Bring one in with `backtime import FOLDER`.")
        return None
    if names is None:
        st.subheader("Not planned yet")
        st.write(
            f"Press *Plan this week*; {what} stands here then."
            if at.leads
            else "Nothing is on the wall for this week yet."
        )
    return names

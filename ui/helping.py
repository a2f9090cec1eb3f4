"""What help would mend a proposal that leaves portions short; looked for when somebody asks."""

from __future__ import annotations

import streamlit as st

from scheduler.book.plans import text_of
from scheduler.reshuffle.help import Help, Mending
from scheduler.reshuffle.help_job import SECONDS, look_for_help
from ui.here import Here
from ui.refusing import refusing
from ui.wording import plain


def helping(at: Here) -> None:
    """Draw it, where something of a plan that was made in the middle of its week is short."""
    file = at.file
    if file is None or file.plan.past is None or not file.plan.unserved or not at.leads:
        return
    st.markdown("##### What would help")
    key = f"help {at.book.where} {at.who.kitchen} {at.number}"
    found: Mending | None = st.session_state.get(key)
    if found is None:
        if not st.button("See what would help", key="plans-help"):
            st.caption("Own people longer, somebody called in, a machine borrowed, goods bought "
                       "in: each is tried for itself. Nothing changes by it.")  # fmt: skip
            return
        with refusing():
            found = st.session_state[key] = _looked_for(at)
    if found is not None:
        _told(found)


def _looked_for(at: Here) -> Mending:
    """Look for it, telling each as it is found."""
    assert at.number is not None
    with st.status(f"Trying what may be asked for, {SECONDS:g} s or a little more") as told:

        def hear(one: Help) -> None:
            told.write(plain(one.said, 400))

        found = look_for_help(text_of(at.book, at.who, at.number), gently=True, hear=hear)
        told.update(label="Looked for what would help", state="complete")
    return found


def _told(found: Mending) -> None:
    lines = [f"- {plain(one.said, 400)}" for one in found.helps]
    st.markdown("\n".join(lines) or "Nothing that was tried serves more.")
    if found.unlooked:
        st.caption(f"There was no time to try: {plain(', '.join(found.unlooked), 400)}.")
    if found.broken:
        st.caption("Looking for it broke off.")

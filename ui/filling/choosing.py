"""Choosing one of several things on a page."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from ui.here import choose, chosen


def one_of(label: str, ids: Sequence[str], names: Sequence[str], key: str) -> int | None:
    """Choose one of a list by its place; which one stands in the address under `key`.

    Returns
    -------
    int or None
        None: there is none to choose.
    """
    if not ids:
        return None
    asked = chosen(key)
    place = ids.index(asked) if asked in ids else 0
    widget = f"choose|{key}"
    if st.session_state.get(widget) != place:
        st.session_state[widget] = place

    def go() -> None:
        # Where one was just called otherwise, the browser still says its old name.
        place = st.session_state[widget]
        if isinstance(place, int) and place < len(ids):
            choose(key, ids[place])

    st.selectbox(
        label, range(len(ids)), key=widget, format_func=lambda i: names[i], on_change=go,
    )  # fmt: skip
    return place

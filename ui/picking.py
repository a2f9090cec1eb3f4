"""Choices of a page that stand in the address: a reload, a link, a way there and back keep them."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from ui.here import choose, chosen


def ready(key: str, options: Sequence[str], otherwise: str) -> str:
    """Make the state of a widget what the address says, where the widget has none yet.

    Parameters
    ----------
    key : str
        In the address; the widget's is `pick-` before it.
    options : sequence of str
        What may be picked.
    otherwise : str
        What is picked where the address says nothing, or nothing that may be.

    Returns
    -------
    str
        The key of the widget.
    """
    widget = f"pick-{key}"
    if st.session_state.get(widget) not in options:
        asked = chosen(key)
        st.session_state[widget] = asked if asked in options else otherwise
    return widget


def ready_several(key: str, options: Sequence[str], otherwise: Sequence[str]) -> str:
    """The same where several may be picked; in the address they stand with full stops between."""
    widget = f"pick-{key}"
    if widget not in st.session_state:
        asked = [one for one in chosen(key).split(".") if one in options]
        st.session_state[widget] = asked or list(otherwise)
    return widget


def pick(key: str) -> None:
    """Put what has been picked into the address; called when a widget changes."""
    value = st.session_state.get(f"pick-{key}")
    choose(key, ".".join(map(str, value)) if isinstance(value, list) else value)

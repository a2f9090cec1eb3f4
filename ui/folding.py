"""What folds out of a button, and folds in again once it has done what it was for."""

from __future__ import annotations

import streamlit as st
from streamlit.delta_generator import DeltaGenerator


def folds(label: str, key: str) -> DeltaGenerator:
    """Fold out of a button; use it in `with`."""
    return st.popover(label, key=_open(key), on_change="rerun")


def fold(key: str) -> None:
    """Fold it in again; in a callback."""
    st.session_state[_open(key)] = False


def _open(key: str) -> str:
    return f"{key} open"

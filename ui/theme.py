"""Which colours a browser shows: the light ones or the dark ones."""

from __future__ import annotations

import streamlit as st

from ui.palette import DARK, LIGHT, Palette


def colours() -> Palette:
    """The palette of whoever looks."""
    return DARK if st.context.theme.type == "dark" else LIGHT

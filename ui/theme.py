"""Whose screen it is: light or dark, as wide as a desk's or as narrow as a phone's."""

from __future__ import annotations

import streamlit as st

from ui.palette import DARK, LIGHT, Palette


def colours() -> Palette:
    """The palette of whoever looks."""
    return DARK if st.context.theme.type == "dark" else LIGHT


def on_phone() -> bool:
    """Does a phone look? By what its browser calls itself: nobody else knows its width."""
    return "Mobile" in st.context.headers.get("User-Agent", "")

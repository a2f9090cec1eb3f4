"""The week's first screen."""

from __future__ import annotations

import streamlit as st

from ui.here import here
from ui.refusing import refusing
from ui.wording import plain

with refusing():
    at = here()
    if at.week is None:
        st.subheader("No week yet")
    else:
        st.subheader(plain(at.week.name))

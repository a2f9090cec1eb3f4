"""The week's first screen: served or not, last calls, what runs by itself, what comes in."""

from __future__ import annotations

from ui.here import here
from ui.refusing import refusing
from ui.week import show

with refusing():
    show(here())

"""Store and load: shelves, hands and oven settings over time."""

from __future__ import annotations

from ui.here import here
from ui.refusing import refusing
from ui.room import show

with refusing():
    show(here())

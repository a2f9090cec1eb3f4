"""The chart of the plan."""

from __future__ import annotations

from ui.chart import show
from ui.here import here
from ui.refusing import refusing

with refusing():
    show(here())

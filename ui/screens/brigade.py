"""People, when they work, and standing duties."""

from __future__ import annotations

from ui.brigade import show
from ui.here import here
from ui.refusing import refusing

with refusing():
    show(here())

"""Equipment, stores, hours and rules."""

from __future__ import annotations

from ui.here import here
from ui.kitchen import show
from ui.refusing import refusing

with refusing():
    show(here())

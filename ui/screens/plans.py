"""The plans of a week: side by side, and on the wall."""

from __future__ import annotations

from ui.here import here
from ui.plans import show
from ui.refusing import refusing

with refusing():
    show(here())

"""The rules of food, on the week and on the plan that is looked at."""

from __future__ import annotations

from ui.here import here
from ui.refusing import refusing
from ui.rules import show

with refusing():
    show(here())

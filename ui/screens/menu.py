"""The week's events with their menus, and what is there already."""

from __future__ import annotations

from ui.here import here
from ui.menu import show
from ui.refusing import refusing

with refusing():
    show(here())

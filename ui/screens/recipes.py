"""Recipes: looked for, written, drawn over time, scaled."""

from __future__ import annotations

from ui.here import here
from ui.recipes import show
from ui.refusing import refusing

with refusing():
    show(here())

"""What may come in from a spreadsheet."""

from __future__ import annotations

from enum import StrEnum


class What(StrEnum):
    """What a table is of."""

    GUESTS = "guests"
    COUNTS = "counts"
    SHIFTS = "shifts"
    INGREDIENTS = "ingredients"
    RECIPES = "recipes"

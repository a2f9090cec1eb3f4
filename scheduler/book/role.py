"""What somebody is to the book; of itself, because it is wanted before anything slow is loaded."""

from __future__ import annotations

from enum import StrEnum


class Role(StrEnum):
    """What somebody is to the book."""

    CHEF = "chef"
    SOUS = "sous"
    COOK = "cook"

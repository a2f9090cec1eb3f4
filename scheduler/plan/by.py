"""The ways a plan can be laid out."""

from __future__ import annotations

from enum import StrEnum


class By(StrEnum):
    """How a plan is laid out."""

    DAY = "day"
    SECTION = "section"
    PERSON = "person"
    EQUIPMENT = "equipment"
    DISH = "dish"
    EVENT = "event"

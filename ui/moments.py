"""Moments of the book as the kitchen's own clocks have them."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from scheduler.book.errors import BookError
from scheduler.plan.words import day_words
from ui.here import Here


def zone_of(at: Here) -> ZoneInfo:
    """The kitchen's zone; UTC where no plan says which."""
    try:
        file = at.file
    except BookError:  # The page says what is wrong with the plan; another can still be chosen.
        file = None
    return ZoneInfo(file.scenario.kitchen.zone if file is not None else "UTC")


def told(at: Here, moment: datetime) -> str:
    """A moment of the book: Mon 30 Nov 2026 00:47."""
    local = moment.astimezone(zone_of(at))
    return f"{day_words(local.date())} {local:%Y %H:%M}"

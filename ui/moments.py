"""Moments of the book as the kitchen's own clocks have them."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from zoneinfo import ZoneInfo

from scheduler.book.documents import heads
from scheduler.book.errors import BookError
from scheduler.plan.words import day_words
from ui.here import Here


def zone_of(at: Here) -> ZoneInfo:
    """The kitchen's zone: as the plan says, or as it is written; UTC where neither does."""
    try:
        file = at.file
    except BookError:  # The page says what is wrong with the plan; another can still be chosen.
        file = None
    if file is not None:
        return ZoneInfo(file.scenario.kitchen.zone)
    for head in heads(at.book, at.who, {"kitchen"}) if at.leads else ():
        with suppress(ValueError, OSError):
            return ZoneInfo(str((head.body or {}).get("zone") or "UTC"))
    return ZoneInfo("UTC")


def told(at: Here, moment: datetime) -> str:
    """A moment of the book: Mon 30 Nov 2026 00:47."""
    local = moment.astimezone(zone_of(at))
    return f"{day_words(local.date())} {local:%Y %H:%M}"

"""Moments and lengths in a chef's words, for certificates and reports."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.times import write_duration
from scheduler.plan.words import day_words

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario

LONGEST = 118


def moment(scenario: Scenario, minute: int) -> str:
    """A minute of the week by the kitchen's clock: "Fri 11 Dec 18:00"."""
    local = scenario.clock.local(minute)
    return f"{day_words(local.date())} {local:%H:%M}"


def span(scenario: Scenario, start: int, end: int) -> str:
    """A stretch by the kitchen's clock, its day once where it is one day."""
    first, last = scenario.clock.local(start), scenario.clock.local(end)
    if first.date() == last.date():
        return f"{day_words(first.date())} {first:%H:%M} to {last:%H:%M}"
    return f"{moment(scenario, start)} to {moment(scenario, end)}"


def lasting(minutes: int) -> str:
    """A length: "1 d 4 h", "45 min"."""
    return write_duration(minutes)


def hours(minutes: int) -> str:
    """Minutes as hours to one decimal: "41", "40.5"."""
    tenths = round(minutes / 6)
    return f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"


def short(text: str) -> str:
    """One line that a label can hold."""
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"

"""The present moment as a week sees it."""

from __future__ import annotations

from datetime import datetime, timedelta

from scheduler.domain.scenario import Scenario


def now_in(scenario: Scenario, moment: datetime) -> int:
    """Minutes from the horizon's start: a moment, or `plan_from` where it is outside the week."""
    clock = scenario.clock
    first = clock.minute(scenario.week.plan_from)
    minute = (moment - clock.origin) // timedelta(minutes=1)
    return minute if first <= minute < clock.horizon else first

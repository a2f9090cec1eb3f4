"""The stretch of the week that is looked at, on the kitchen's wall clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from scheduler.domain.scenario import Scenario
from scheduler.domain.times import Clock
from scheduler.plan.figures import merged

Length = Literal["day", "three", "all"]
LENGTHS: dict[Length, str] = {"day": "one day", "three": "three days", "all": "all days"}
"""How much is looked at at once, and what that is called."""
TICK = 5
"""The present moment moves in steps of so many minutes: what is drawn is drawn anew as rarely."""


@dataclass(frozen=True, slots=True)
class Window:
    """Whole days.

    Attributes
    ----------
    first : date
    days : int
    start, end : int
        Minutes of the week.
    """

    first: date
    days: int
    start: int
    end: int


def window(clock: Clock, length: Length, day: date) -> Window:
    """A window that begins on a day, or holds all of the week."""
    days = days_of(clock)
    day = min(max(day, days[0]), days[-1])
    if length == "all":
        day, many = days[0], len(days)
    else:
        many = 1 if length == "day" else 3
    midnight = datetime(day.year, day.month, day.day)
    return Window(
        day, many, clock.minute(midnight), clock.minute(midnight + timedelta(days=many))
    )


def days_of(clock: Clock) -> list[date]:
    """The days of the week; one that it ends on at midnight is none of them."""
    last = clock.local(clock.horizon - 1).date()
    return [d for d in clock.days(margin=0) if d <= last]


def wall(clock: Clock, minute: int) -> datetime:
    """A minute as the kitchen's clock shows it: without zone, as charts and editors want it."""
    return clock.local(minute).replace(tzinfo=None, fold=0)


def nobody_there(scenario: Scenario) -> list[tuple[int, int]]:
    """When nobody is on shift: from and to, minutes; the nights of most kitchens."""
    clock = scenario.clock
    there = merged(
        clock.span(day, shift.hours)
        for person in scenario.kitchen.people
        for shift in person.shifts
        for day in clock.days()
        if day not in person.off and any(day in days for days in shift.days)
    )
    found, at = [], 0
    for start, end in there:
        if start > at:
            found.append((at, min(start, clock.horizon)))
        at = max(at, end)
    if at < clock.horizon:
        found.append((at, clock.horizon))
    return [(a, b) for a, b in found if a < b]


def services(scenario: Scenario) -> list[tuple[int, str]]:
    """When plates go away, in order of time: the minute, and of what.

    An event is named at its first plate; its later courses and waves have no name here.
    """
    found: dict[tuple[int, str], str] = {}
    for event in scenario.week.events:
        first = scenario.clock.minute(event.first_plate)
        for course in event.menu:
            for wave in (0, *(w.after for w in course.waves)):
                found.setdefault((first + course.after + wave, event.id), "")
        found[first, event.id] = event.name or event.id
    return [(minute, name) for (minute, _), name in sorted(found.items())]

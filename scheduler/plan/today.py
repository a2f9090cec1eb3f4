"""One day of a plan: what comes in and what hangs on it, who is there and who is not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from scheduler.domain.base import Slug
from scheduler.domain.week import Delivery
from scheduler.plan.figures import shifts_of
from scheduler.plan.model import PlannedTask
from scheduler.plan.waiting import taking
from scheduler.plan.words import Names


@dataclass(frozen=True, slots=True)
class Arriving:
    """A delivery of the day.

    Attributes
    ----------
    delivery : Delivery
    at : int
        When it comes. Minute.
    hangs : tuple of PlannedTask
        What takes of it, the first to begin first; until the next one of the same comes.
    """

    delivery: Delivery
    at: int
    hangs: tuple[PlannedTask, ...]


@dataclass(frozen=True, slots=True)
class Presence:
    """Somebody's day.

    Attributes
    ----------
    person : str
    start, end : int or None
        From and to, minutes; None: no shift begins on this day.
    off : bool
        They have the day off.
    """

    person: Slug
    start: int | None
    end: int | None
    off: bool


def arriving(names: Names, day: date) -> list[Arriving]:
    """What comes in on a day, in order of time, each with what hangs on it."""
    scenario, found = names.scenario, []
    moments = {d.id: scenario.clock.minute(d.at) for d in scenario.week.deliveries}
    for delivery in scenario.week.deliveries:
        if delivery.at.date() != day:
            continue
        at = moments[delivery.id]
        later = [
            moments[d.id]
            for d in scenario.week.deliveries
            if d.ingredient == delivery.ingredient and moments[d.id] > at
        ]
        taken = _takers(names, delivery.ingredient, at, min(later, default=scenario.clock.horizon))
        found.append(Arriving(delivery, at, tuple(taken)))
    return sorted(found, key=lambda a: (a.at, a.delivery.id))


def _takers(names: Names, ingredient: Slug, since: int, until: int) -> Iterable[PlannedTask]:
    """Tasks that take of an ingredient and begin in [since, until)."""
    found = [
        t
        for t in names.plan.tasks
        if since <= t.start < until
        and any(take.ingredient == ingredient for take in taking(names, t.id))
    ]
    return sorted(found, key=lambda t: (t.start, t.id))


def presence(names: Names, day: date) -> list[Presence]:
    """Everybody's day, in the order of the brigade."""
    clock, found = names.scenario.clock, []
    midnight = datetime(day.year, day.month, day.day)
    first, last = clock.minute(midnight), clock.minute(midnight + timedelta(days=1))
    for person in names.scenario.kitchen.people:
        there = [
            (start, pieces[-1][1])
            for start, pieces in shifts_of(names.scenario, person)
            if first <= start < last
        ]
        start = min((a for a, _ in there), default=None)
        end = max((z for _, z in there), default=None)
        found.append(Presence(person.id, start, end, day in person.off))
    return found


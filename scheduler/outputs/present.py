"""Who is there: whose day a job belongs to, and whom to ask about it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from scheduler.domain.base import Level, Slug
from scheduler.domain.kitchen import Person
from scheduler.plan.audit.presence import Shift, shifts_of
from scheduler.plan.words import Names


class Present:
    """Everybody's shifts through a week."""

    def __init__(self, names: Names) -> None:
        self._names = names
        self._shifts = {
            p.id: shifts_of(names.scenario, p) for p in names.scenario.kitchen.people
        }

    def day(self, people: Sequence[Slug], start: int, end: int) -> date:
        """The day a job belongs to: that of the shift of the first of its people.

        What is done at half past midnight by a late shift belongs to the day it began. Where
        nobody is on shift, the calendar's day.
        """
        for shift in self._of(people[:1], start, max(end, start + 1)):
            return shift.day
        return self._names.local(start).date()

    def hours(self, person: Slug, day: date) -> tuple[int, int] | None:
        """From when to when somebody's shifts of a day are written; None: not there."""
        mine = [s for s in self._shifts.get(person, ()) if s.day == day]
        return (min(s.start for s in mine), max(s.end for s in mine)) if mine else None

    def ask(self, section: Slug, at: int, doing: Sequence[Slug]) -> tuple[Slug, ...]:
        """Whom to ask: the section's leads on shift then; without any, leads of other sections.

        Nobody where those who do it lead the section themselves.
        """
        brigade = self._names.scenario.kitchen.people
        own = [p for p in brigade if p.sections.get(section) is Level.LEAD]
        if any(p.id in doing for p in own):
            return ()
        others = [p for p in brigade if Level.LEAD in p.sections.values() and p not in own]
        for some in (own, others):
            there = [p.id for p in some if p.id not in doing and self._there(p, at)]
            if there:
                return tuple(there)
        return ()

    def _there(self, person: Person, at: int) -> bool:
        return any(s.start <= at < s.end for s in self._shifts[person.id])

    def _of(self, people: Sequence[Slug], start: int, end: int) -> list[Shift]:
        """Shifts, with overtime around them, in which a job lies; those written come first."""
        mine = [s for p in people for s in self._shifts.get(p, ())]
        return [s for s in mine if s.start <= start < s.end] or [
            s for s in mine if s.holds(start, end)
        ]


def day_after(day: date) -> date:
    """The next day."""
    return day + timedelta(days=1)

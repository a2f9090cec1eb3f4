"""Shifts as they are written, day by day, and how much longer they may be."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import groupby
from typing import TYPE_CHECKING

from scheduler.domain.profiles import hours_of
from scheduler.plan.audit.amounts import up
from scheduler.plan.audit.stretches import Stretch, common, merged, without

if TYPE_CHECKING:
    from scheduler.domain.jurisdiction import Limits, Work
    from scheduler.domain.kitchen import Person
    from scheduler.domain.limits import Length
    from scheduler.domain.scenario import Scenario

AROUND = 15
"""Days before and after the week in which shifts count for rest."""


@dataclass(slots=True)
class Shift:
    """One shift of one person, minutes.

    Attributes
    ----------
    early, late : int
        From when and until when work may lie around it.
    first, last : int
        From when and until when the person is there by the plan: the shift and overtime.
    rests : list of int
        Lengths of its breaks.
    """

    day: date
    start: int
    end: int
    early: int
    late: int
    first: int
    last: int
    breaks: list[Stretch] = field(default_factory=list)
    rests: list[int] = field(default_factory=list)

    def holds(self, start: int, end: int) -> bool:
        """Does work belong to this shift?"""
        return start < self.late and end > self.early

    def overtime_before(self, grid: int) -> int:
        """Minutes before it, counted to the first point of the grid in it."""
        return max(0, up(self.start, grid) - self.first) if self.first < self.start else 0

    def overtime_after(self, grid: int) -> int:
        """Minutes after it, counted from the last point of the grid in it."""
        return max(0, self.last - self.end // grid * grid) if self.last > self.end else 0


def younger(person: Person, years: int, day: date) -> bool:
    """Not so old yet on that day; nobody knows of whom no birth date is written."""
    if person.born is None:
        return False
    had = (day.month, day.day) >= (person.born.month, person.born.day)
    return day.year - person.born.year - (not had) < years


def young(profile: Work, person: Person, day: date) -> bool:
    """Under age on that day."""
    return younger(person, profile.of_age.value, day)


def limits(scenario: Scenario, person: Person, day: date) -> Limits | None:
    """What the profile asks for on that day."""
    profile = hours_of(scenario.kitchen)
    if profile is None:
        return None
    return profile.young if young(profile, person, day) else profile.adults


def kept(scenario: Scenario, person: Person, day: date, rule: str) -> bool:
    """Is a rule hard for that person on that day?"""
    profile = hours_of(scenario.kitchen)
    if profile is None:
        return False
    rest = scenario.kitchen.rest
    return young(profile, person, day) or rest is None or getattr(rest, rule) == "hard"


def priced(scenario: Scenario, person: Person, day: date) -> bool:
    """May that person's daily rest before that day be eaten at a price? Never under age."""
    profile, rest = hours_of(scenario.kitchen), scenario.kitchen.rest
    if profile is None or rest is None or young(profile, person, day):
        return False
    return rest.daily_rest == "priced"


def nights(scenario: Scenario, person: Person, day: date) -> list[Stretch]:
    """When somebody who starts on that day must not work."""
    rules, rest = limits(scenario, person, day), scenario.kitchen.rest
    if rules is None or not rules.nights:
        return []
    hours = rules.nights[0].hours
    if rest is not None and rest.young_night is not None:
        hours = rest.young_night
    return [scenario.clock.span(day + timedelta(days=n), hours) for n in (-1, 0, 1)]


def shifts_of(scenario: Scenario, person: Person) -> list[Shift]:
    """All shifts around the week in order of time, and room for overtime around each.

    Overtime follows a shift whose end planning meets, and reaches to the next
    one at most; what comes before a shift begins after what may follow the
    one before. Nobody under age has any.
    """
    clock, profile = scenario.clock, hours_of(scenario.kitchen)
    now = clock.minute(scenario.week.plan_from)
    found: list[Shift] = []
    day = clock.first_day - timedelta(days=AROUND)
    while day <= clock.last_day + timedelta(days=AROUND):
        if day not in person.off:
            for word in person.shifts:
                if not any(day in days for days in word.days):
                    continue
                start, end = clock.span(day, word.hours)
                one = Shift(day, start, end, start, end, start, end)
                for pause in word.breaks:
                    # A night shift's break may lie after midnight.
                    after = pause.start < word.hours.start
                    moved = type(pause)(pause.start + 1440, pause.end + 1440) if after else pause
                    a, b = clock.span(day, moved)
                    if max(a, start) < min(b, end):
                        one.breaks.append((max(a, start), min(b, end)))
                        one.rests.append(min(b, end) - max(a, start))
                one.rests += [pause.length for pause in word.floating_breaks]
                found.append(one)
        day += timedelta(days=1)
    found.sort(key=lambda s: (s.start, s.end))
    taken: int | None = None
    for shift, later in zip(found, [*found[1:], None], strict=False):
        longer = person.overtime
        if longer is not None and not (profile and young(profile, person, shift.day)):
            if shift.end >= now:
                shift.late = shift.end + longer.at_end
            if later is not None:
                shift.late = max(shift.end, min(shift.late, later.start))
            begins = shift.start - longer.at_start
            shift.early = begins if taken is None else min(shift.start, max(begins, taken))
        taken = shift.late
    return found


@dataclass(frozen=True, slots=True)
class Before:
    """Daily rest that reaches into a working day and may be eaten: until when it should last.

    Attributes
    ----------
    ended, start : int
        The end of the working day before and the start of this one, as written.
    over : int
        When the rest is over, or the next working day begins.
    """

    person: str
    day: date
    ended: int
    start: int
    over: int
    asked: Length


def rests_before(scenario: Scenario, person: Person, shifts: list[Shift]) -> list[Before]:
    """Every working day of a person that begins before their rest is over, where that is priced."""
    days = [list(some) for _, some in groupby(sorted(shifts, key=_day), key=_day)]
    found = []
    for last, today, later in zip([[], *days], days, [*days[1:], []], strict=False):
        rules = limits(scenario, person, today[0].day)
        if not last or rules is None or not priced(scenario, person, today[0].day):
            continue
        ended = max(s.end for s in last)
        start = max(ended, min(s.start for s in today))
        over = min([ended + rules.daily_rest.value, *(s.start for s in later)])
        if start < over:
            found.append(
                Before(person.id, today[0].day, ended, start, over, rules.daily_rest)
            )
    return found


def _day(shift: Shift) -> date:
    return shift.day


def presence(
    scenario: Scenario, person: Person, shifts: list[Shift]
) -> tuple[list[Stretch], list[Stretch], list[Stretch]]:
    """The shifts (all of `shifts_of`) less what daily rest and the night of the young take of
    them; their breaks; and what of the shifts lies in rest that may be eaten."""
    there: list[Stretch] = []
    breaks: list[Stretch] = []
    before: tuple[date, int] | None = None
    ended: tuple[date, int] | None = None
    for shift in shifts:
        rules = limits(scenario, person, shift.day)
        start = shift.start
        if ended is not None and ended[0] != shift.day:
            before = ended
        strict = kept(scenario, person, shift.day, "daily_rest")
        if rules and before is not None and (strict or priced(scenario, person, shift.day)):
            start = max(start, before[1] + rules.daily_rest.value)
        there += without([(start, shift.end)], nights(scenario, person, shift.day))
        breaks += shift.breaks
        last = shift.end if ended is None or ended[0] != shift.day else max(ended[1], shift.end)
        ended = shift.day, last
    rests = [(x.start, x.over) for x in rests_before(scenario, person, shifts)]
    eaten = common(merged((s.start, s.end) for s in shifts), merged(rests))
    return merged(there), merged(breaks), eaten

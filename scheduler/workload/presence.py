"""When somebody may be called in: shifts less what rest takes of them, and overtime around them.

Where the kitchen keeps a rule hard, overtime never goes so far that it would
be broken, so no plan has to be refused for it afterwards: what an engine
knows is when people are there.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from scheduler.domain.kitchen import Overtime
from scheduler.domain.profiles import hours_of
from scheduler.domain.rest import (
    DAY,
    Workday,
    limits_on,
    night,
    strictness,
    under_age,
    weeks,
    workdays,
)

if TYPE_CHECKING:
    from scheduler.domain.employment import Priced
    from scheduler.domain.jurisdiction import Limits
    from scheduler.domain.kitchen import Person
    from scheduler.domain.rest import Rule
    from scheduler.domain.scenario import Scenario

Span = tuple[int, int]
NEVER = 1 << 30


@dataclass(frozen=True, slots=True)
class Presence:
    """One person, in minutes.

    Attributes
    ----------
    shifts : tuple of (int, int)
        Whole shifts, breaks in them, less what rest and night take.
    extras : tuple of (int, int, bool)
        Overtime that may be: from, to, and whether it follows a shift.
    eaten : tuple of (int, int)
        Where daily rest may be eaten at a price: from the start of a working
        day to the end of the rest before it.
    written : tuple of (int, int)
        Whole shifts, breaks in them, before rest and night take anything.
    """

    shifts: tuple[Span, ...]
    extras: tuple[tuple[int, int, bool], ...]
    eaten: tuple[Span, ...] = ()
    written: tuple[Span, ...] = ()


class _Rules:
    """What a day asks for where it is kept, if at a price; 0, nothing or never where it is not."""

    def __init__(self, scenario: Scenario, person: Person, today: Workday) -> None:
        kitchen, profile = scenario.kitchen, hours_of(scenario.kitchen)
        self.rest, self.piece, self.weekly = 0, NEVER, NEVER
        self.priced = False
        self.break_after, self.break_length = NEVER, 0
        self.nights: list[Span] = []
        self.overtime = person.overtime or Overtime()
        if profile is None:
            return
        limits: Limits = limits_on(profile, person, today.day)

        def how(rule: Rule) -> Priced:
            return strictness(kitchen, profile, person, today.day, rule)

        if how("daily_rest") != "warned":
            self.rest = limits.daily_rest.value
            self.priced = how("daily_rest") == "priced"
        if how("weekly_rest") == "hard":
            self.weekly = limits.weekly_rest.value
            self.piece = self.weekly + (limits.beside_daily.value if limits.beside_daily else 0)
        if how("breaks") == "hard":
            self.break_after = limits.break_after.value
            self.break_length = limits.break_length.value
        if under_age(profile, person, today.day):
            self.overtime = Overtime()
        barred = night(kitchen, limits)
        if barred is not None:
            around = (today.day + timedelta(days=n) for n in (-1, 0, 1))
            self.nights = [scenario.clock.span(day, barred.hours) for day in around]


def presence(scenario: Scenario, person: Person) -> Presence:
    """Shifts and overtime of one person.

    A working day begins no earlier than the daily rest after the one before; where
    that has a price, what it takes of the day is `eaten`. Overtime leaves the
    rests around it whole whatever they cost: the daily one, a weekly one where
    there was one, 24 h with a daily rest in them; and makes no shift so long
    that it would need a break which it has not. What may follow a shift by
    what is written never comes before the next one.
    """
    clock = scenario.clock
    now = clock.minute(scenario.week.plan_from)
    days = workdays(clock, person)
    shifts: list[Span] = []
    extras: list[tuple[int, int, bool]] = []
    eaten: list[Span] = []
    grid = scenario.kitchen.grid
    before = claimed = -NEVER
    for i, today in enumerate(days):
        rules = _Rules(scenario, person, today)
        begins = before + rules.rest
        later = days[i + 1].start if i + 1 < len(days) else NEVER
        inner = max(
            (b[0] - a[1] for a, b in zip(today.shifts, today.shifts[1:], strict=False)), default=0
        )
        first = today.start if rules.priced else max(today.start, begins)
        if rules.priced:
            eaten.append((max(today.start, before), min(begins, later)))
        spread = NEVER
        if rules.rest and inner < rules.rest:
            spread = max(0, DAY - rules.rest - (today.end - first))
        after = today.end
        for n, (a, b) in enumerate(today.shifts):
            last = n + 1 == len(today.shifts)
            room = (later - rules.rest if last else today.shifts[n + 1][0]) - b
            spare = _until_break(rules, today, n)
            at_end = min(rules.overtime.at_end, room, spread, spare)
            if last:
                at_end = min(at_end, _long_rest(scenario, rules, b, later, b))
            if b < now or begins > b // grid * grid:  # the shift is over before the rest is
                at_end = 0
            at_end = max(0, at_end)
            spread, spare = spread - at_end, spare - at_end
            room = a - (before + rules.rest if n == 0 else today.shifts[n - 1][1])
            room = min(room, a - claimed, a - begins)
            at_start = min(rules.overtime.at_start, room, spread, spare)
            if n == 0:
                at_start = min(at_start, _long_rest(scenario, rules, before, a, a))
            at_start = max(0, at_start)
            spread -= at_start
            if at_start:
                extras.append((a - at_start, a, False))
            if at_end:
                extras.append((b, b + at_end, True))
            after = max(after, b + at_end)
            claimed = b + (rules.overtime.at_end if b >= now else 0)
            shifts += _outside((max(a, begins), b), rules.nights)
        before = after
    written = tuple(span for day in days for span in day.shifts)
    eaten = [(a, b) for a, b in eaten if a < b]
    return Presence(tuple(shifts), tuple(extras), tuple(eaten), written)


def _until_break(rules: _Rules, today: Workday, n: int) -> int:
    """How much longer a shift may be before it needs a break that it has not."""
    a, b = today.shifts[n]
    if max(today.breaks[n], default=0) >= rules.break_length or b - a > rules.break_after:
        return NEVER
    return rules.break_after - (b - a)


def _long_rest(scenario: Scenario, rules: _Rules, start: int, end: int, at: int) -> int:
    """How much of a free stretch may go at one end of it (`at`), so that a weekly rest stays one.

    It stays as long as it has to be, and so much of it in the same week.
    """
    if end - start < rules.piece:
        return NEVER
    most = end - start - rules.piece
    for a, b in weeks(scenario.clock, 2):
        inside = min(end, b) - max(start, a)
        if a <= at <= b and inside >= rules.weekly:
            most = min(most, inside - rules.weekly)
    return most


def _outside(span: Span, holes: list[Span]) -> list[Span]:
    """What is left of a stretch outside some holes."""
    left = [span]
    for x, y in holes:
        left = [p for a, b in left for p in ((a, min(b, x)), (max(a, y), b)) if p[0] < p[1]]
    return [(a, b) for a, b in left if a < b]

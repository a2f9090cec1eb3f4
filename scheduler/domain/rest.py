"""Work and rest: what a kitchen's rule profile asks of the shifts that are written.

Presence is work: a shift counts from its start to its end, whoever is idle in
it. What lies before and after the week is what the shifts say for those days.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from scheduler.domain.employment import Priced, Rest
from scheduler.domain.jurisdiction import Limits, Night, Work
from scheduler.domain.kitchen import Kitchen, Person
from scheduler.domain.limits import Source
from scheduler.domain.profiles import hours_of
from scheduler.domain.times import Clock, Hours

Rule = Literal[
    "age", "daily_rest", "weekly_rest", "breaks", "weekly_hours", "daily_hours", "night"
]
DAY = 1440
AROUND = 15
"""Days before and after the week that are looked at."""
Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Workday:
    """The shifts of one person that start on one day, in minutes from the horizon's start.

    Attributes
    ----------
    breaks : tuple of tuple of int
        For each shift the lengths of its breaks.
    """

    day: date
    shifts: tuple[Span, ...]
    breaks: tuple[tuple[int, ...], ...]

    @property
    def start(self) -> int:
        """The first shift's start."""
        return self.shifts[0][0]

    @property
    def end(self) -> int:
        """The last end."""
        return max(end for _, end in self.shifts)

    @property
    def worked(self) -> int:
        """Minutes, breaks left out."""
        return sum(b - a for a, b in self.shifts) - sum(sum(some) for some in self.breaks)


@dataclass(frozen=True, slots=True)
class Shortfall:
    """Something the profile asks for and the shifts do not give.

    Attributes
    ----------
    kept : bool
        Planning keeps it all the same: nobody is called in then.
    priced : bool
        Planning keeps it unless nothing else serves, and then it costs.
    hard : bool
        The kitchen wants it kept, or the person is under age.
    """

    person: Person
    day: date
    rule: Rule
    what: str
    hard: bool
    kept: bool = False
    priced: bool = False

    @property
    def told(self) -> str:
        """With its day: Mon 3 May: 9 h of rest before work, at least 11 h (2003/88/EC art. 3)."""
        return f"{self.day:%a} {self.day.day} {self.day:%b}: {self.what}"


def age(person: Person, day: date) -> int | None:
    """Years on a day; None where no birth date is written."""
    born = person.born
    if born is None:
        return None
    return day.year - born.year - ((day.month, day.day) < (born.month, born.day))


def under_age(profile: Work, person: Person, day: date) -> bool:
    """Is that a young worker on that day?"""
    years = age(person, day)
    return years is not None and years < profile.of_age.value


def limits_on(profile: Work, person: Person, day: date) -> Limits:
    """What holds for a person on a day."""
    return profile.young if under_age(profile, person, day) else profile.adults


def night(kitchen: Kitchen, limits: Limits) -> Night | None:
    """The night in which such a person does not work."""
    wanted = kitchen.rest.young_night if kitchen.rest is not None else None
    chosen = [one for one in limits.nights if one.hours == wanted]
    return next(iter(chosen or limits.nights), None)


def strictness(
    kitchen: Kitchen, profile: Work, person: Person, day: date, rule: Rule
) -> Priced:
    """Whether a rule is kept for a person on a day, kept at a price, or only warned about."""
    if under_age(profile, person, day):
        return "hard"
    rest = kitchen.rest or Rest()
    said: dict[Rule, Priced] = {
        "daily_rest": rest.daily_rest, "weekly_rest": rest.weekly_rest, "breaks": rest.breaks
    }  # fmt: skip
    return said.get(rule, "warned")


def is_hard(kitchen: Kitchen, profile: Work, person: Person, day: date, rule: Rule) -> bool:
    """Whether a rule is kept for a person on a day whatever it costs."""
    return strictness(kitchen, profile, person, day, rule) == "hard"


def workdays(clock: Clock, person: Person) -> list[Workday]:
    """Every day a person works, from two weeks before the horizon to two weeks after it."""
    found = []
    day = clock.first_day - timedelta(days=AROUND)
    while day <= clock.last_day + timedelta(days=AROUND):
        shifts = [s for s in person.shifts if any(day in days for days in s.days)]
        if shifts and day not in person.off:
            spans = [(clock.span(day, s.hours), s) for s in shifts]
            spans.sort(key=lambda one: one[0])
            breaks = []
            for (start, end), shift in spans:
                lengths = [f.length for f in shift.floating_breaks]
                for pause in shift.breaks:
                    # A night shift's break may lie after midnight.
                    later = DAY if pause.start < shift.hours.start else 0
                    a, b = clock.span(day, Hours(pause.start + later, pause.end + later))
                    lengths.append(max(0, min(b, end) - max(a, start)))
                breaks.append(tuple(lengths))
            found.append(Workday(day, tuple(span for span, _ in spans), tuple(breaks)))
        day += timedelta(days=1)
    return found


def weeks(clock: Clock, margin: int = 0) -> list[Span]:
    """Calendar weeks that the horizon touches, Monday to Monday, in minutes."""
    monday = clock.first_day - timedelta(days=clock.first_day.weekday() + 7 * margin)
    found = []
    while monday <= clock.last_day + timedelta(days=7 * margin):
        ends = monday + timedelta(days=7)
        found.append((_midnight(clock, monday), _midnight(clock, ends)))
        monday = ends
    return found


def _midnight(clock: Clock, day: date) -> int:
    return clock.minute(datetime(day.year, day.month, day.day))


def gaps(days: list[Workday]) -> list[Span]:
    """Free stretches between shifts, before the first one and after the last one too."""
    edges = sorted(span for d in days for span in d.shifts)
    if not edges:
        return []
    out = [(edges[0][0] - 14 * DAY, edges[0][0])]
    end = edges[0][1]
    for a, b in edges[1:]:
        if a > end:
            out.append((end, a))
        end = max(end, b)
    return [*out, (end, end + 14 * DAY)]


def rests(limits: Limits, free: list[Span], week: Span) -> int:
    """How many weekly rests lie in a week: so long in one piece inside it.

    The daily rest that has to stand beside it may reach out of the week.
    """
    least = limits.weekly_rest.value
    piece = least + (limits.beside_daily.value if limits.beside_daily else 0)
    count = 0
    for a, b in free:
        inside = min(b, week[1]) - max(a, week[0])
        if b - a >= piece and inside >= least:
            count += inside // least
    return count


def shortfalls(kitchen: Kitchen, clock: Clock) -> list[Shortfall]:
    """Everything in which the shifts of the week fall short of the rule profile."""
    profile = hours_of(kitchen)
    if profile is None:
        return []
    found: list[Shortfall] = []
    for person in kitchen.people:
        days = workdays(clock, person)
        found += _daily(kitchen, clock, profile, person, days)
        found += _weekly(kitchen, clock, profile, person, days)
    return found


def _daily(
    kitchen: Kitchen, clock: Clock, profile: Work, person: Person, days: list[Workday]
) -> Iterator[Shortfall]:
    before: Workday | None = None
    for today in days:
        limits, last, before = limits_on(profile, person, today.day), before, today
        if today.end <= 0 or today.start >= clock.horizon:
            continue

        def short(
            rule: Rule,
            what: str,
            limit: Source,
            kept: bool = False,
            sooner: bool = False,
            today: Workday = today,
        ) -> Shortfall:
            """`sooner`: being called in sooner is what may have a price."""
            how = strictness(kitchen, profile, person, today.day, rule)
            priced = how == "priced" and sooner
            hard = how != "warned" and not priced
            said = f"{what} ({limit.source})"
            return Shortfall(person, today.day, rule, said, hard, kept and hard, priced)

        years = age(person, today.day)
        if years is not None and years < profile.least_age.value:
            least = profile.least_age
            yield short("age", f"is {years}; nobody under {least.value} works", least)
            continue
        rest = limits.daily_rest
        if last is not None and today.start - last.end < rest.value:
            has, asked = write_hours(max(0, today.start - last.end)), write_hours(rest.value)
            what = f"{has} of rest before work, at least {asked}"
            later = last.end + rest.value < today.end
            yield short("daily_rest", what, rest, kept=later, sooner=True)
        inner = max((b[0] - a[1] for a, b in zip(today.shifts, today.shifts[1:], strict=False)),
                    default=0)  # fmt: skip
        if today.end - today.start > DAY - rest.value and inner < rest.value:
            what = f"from first to last {write_hours(today.end - today.start)}, which leaves "
            what += f"no {write_hours(rest.value)} of rest in 24 h"
            yield short("daily_rest", what, rest)
        for (a, b), breaks in zip(today.shifts, today.breaks, strict=True):
            if b - a > limits.break_after.value and max(breaks, default=0) < (
                limits.break_length.value
            ):
                asked = "a break"
                if limits.break_length.value > 1:
                    asked += f" of {write_hours(limits.break_length.value)}"
                after = write_hours(limits.break_after.value)
                what = f"a shift of {write_hours(b - a)} without {asked}, due beyond {after}"
                yield short("breaks", what, limits.break_length)
        if limits.daily_hours is not None and today.worked > limits.daily_hours.value:
            most = write_hours(limits.daily_hours.value)
            what = f"works {write_hours(today.worked)}, at most {most} under age"
            yield short("daily_hours", what, limits.daily_hours)
        barred = night(kitchen, limits)
        if barred is not None:
            banned = [clock.span(today.day + timedelta(days=n), barred.hours) for n in (-1, 0, 1)]
            if any(a < y and x < b for a, b in today.shifts for x, y in banned):
                what = f"a shift reaches into {barred.hours}, in which nobody under age works"
                yield short("night", what, barred, kept=True)


def _weekly(
    kitchen: Kitchen, clock: Clock, profile: Work, person: Person, days: list[Workday]
) -> Iterator[Shortfall]:
    free = gaps(days)
    for week in weeks(clock):
        inside = [d for d in days if week[0] <= d.start < week[1]]
        if not inside or week[0] >= clock.horizon:
            continue
        limits = limits_on(profile, person, inside[0].day)
        monday = clock.local(week[0]).date()
        if not enough_rest(limits, free, week):
            limit = limits.weekly_rest
            what = f"no {write_hours(limit.value)} of rest in one piece in this week"
            if limits.beside_daily is not None:
                what += f", {write_hours(limits.beside_daily.value)} of daily rest beside it"
            hard = is_hard(kitchen, profile, person, inside[0].day, "weekly_rest")
            yield Shortfall(person, monday, "weekly_rest", f"{what} ({limit.source})", hard)
        worked = sum(d.worked for d in inside)
        most = limits.weekly_hours
        if worked > most.value:
            what = f"works {write_hours(worked)} in this week, "
            what += "on average " if limits.on_average else ""
            what += f"at most {write_hours(most.value)} ({most.source})"
            yield Shortfall(person, monday, "weekly_hours", what, not limits.on_average)


def enough_rest(limits: Limits, free: list[Span], week: Span) -> bool:
    """The weekly rest in that week, or what may stand for it in a fortnight."""
    if rests(limits, free, week):
        return True
    if limits.fortnight is None:
        return False
    length = week[1] - week[0]
    for a, b in ((week[0] - length, week[1]), (week[0], week[1] + length)):
        whole = any(min(y, b) - max(x, a) >= limits.fortnight.value for x, y in free)
        if whole or rests(limits, free, (a, b)) >= 2:
            return True
    return False


def write_hours(minutes: int) -> str:
    """Minutes as hours and minutes, days never: 52 h 30 min."""
    hours, rest = divmod(minutes, 60)
    parts = [f"{n} {unit}" for n, unit in ((hours, "h"), (rest, "min")) if n]
    return " ".join(parts) or "0 h"

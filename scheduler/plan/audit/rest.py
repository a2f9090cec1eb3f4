"""Overtime and rest as they come out of the plan: work ends, work begins again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from scheduler.domain.profiles import hours_of
from scheduler.plan.audit.amounts import up
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.presence import (
    kept,
    limits,
    nights,
    priced,
    rests_before,
    shifts_of,
    young,
)

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Person
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.presence import Before, Shift
    from scheduler.plan.audit.stretches import Stretch

DAY = 1440


def work_of(facts: Facts) -> dict[str, list[Stretch]]:
    """Everybody's visits, clean-downs and duties, from planning on."""
    work: dict[str, list[Stretch]] = {}
    told = [(v.people, v.start, v.end) for task in facts.plan.tasks for v in task.visits]
    told += [(d.people, d.start, d.end) for d in facts.plan.duties]
    told += [(c.people, c.start, c.end) for c in facts.plan.clean_downs]
    for people, start, end in told:
        if max(start, facts.now) < end:
            for person in set(people):
                work.setdefault(person, []).append((max(start, facts.now), end))
    return work


def extended(facts: Facts, person: Person, work: list[Stretch]) -> list[Shift]:
    """The shifts as they come out: longer where work lies around them."""
    shifts = shifts_of(facts.scenario, person)
    for start, end in work:
        for shift in shifts:
            if shift.holds(start, end):
                shift.first = min(shift.first, max(start, shift.early))
                shift.last = max(shift.last, min(end, shift.late))
    return shifts


def overtime(facts: Facts) -> int:
    """Minutes of overtime of everybody together, idle ones included."""
    work = work_of(facts)
    return sum(
        shift.overtime_before(facts.grid) + shift.overtime_after(facts.grid)
        for person in facts.scenario.kitchen.people
        if person.overtime is not None
        for shift in extended(facts, person, work.get(person.id, []))
    )


@dataclass(frozen=True, slots=True)
class Eaten:
    """Daily rest that somebody has not before a working day, as they begin work at `begins`.

    `by`: what that costs for, in minutes: to the first point of the grid after the rest.
    """

    rest: Before
    begins: int
    by: int

    @property
    def lacking(self) -> int:
        """Minutes less than are asked for."""
        return self.rest.ended + self.rest.asked.value - self.begins


def eaten(facts: Facts) -> list[Eaten]:
    """Everybody's, in order of time: work in a shift that begins before the rest is over."""
    rules = facts.scenario.kitchen.rest
    if rules is None or rules.daily_rest != "priced":
        return []
    work, grid, found = work_of(facts), facts.grid, []
    for person in facts.scenario.kitchen.people:
        shifts = shifts_of(facts.scenario, person)
        for rest in rests_before(facts.scenario, person, shifts):
            first = max(rest.start, facts.now)
            starts = [
                max(a, first) for a, b in work.get(person.id, []) if a < rest.over and b > first
            ]
            if starts and min(starts) < rest.over:
                begins = min(starts)
                found.append(Eaten(rest, begins, up(rest.over, grid) - up(begins, grid)))
    return sorted(found, key=lambda x: (x.begins, x.rest.person))


def check(facts: Facts) -> None:
    """Rules `rest` and `young`, where the kitchen's rule profile has hours."""
    profile = hours_of(facts.scenario.kitchen)
    if profile is None:
        return
    everybody = work_of(facts)
    for person in facts.scenario.kitchen.people:
        work = sorted(everybody.get(person.id, []))
        shifts = extended(facts, person, work)
        days = [list(some) for _, some in groupby(sorted(shifts, key=_day), key=_day)]
        for before, today in zip([None, *days], days, strict=False):
            _day_of(facts, person, before, today, work)
            if young(profile, person, today[0].day):
                _young(facts, person, today, work)
        _weeks(facts, person, shifts)


def _day(shift: Shift) -> tuple[int, int, int]:
    return shift.day.year, shift.day.month, shift.day.day


def _day_of(
    facts: Facts, person: Person, before: list[Shift] | None, today: list[Shift],
    work: list[Stretch],
) -> None:  # fmt: skip
    """Rest before and in a working day, breaks in its shifts."""
    day, rules = today[0].day, limits(facts.scenario, person, today[0].day)
    if rules is None:
        return
    mine = [w for w in work if any(s.holds(*w) for s in today)]
    if not mine:
        return
    first, last = min(s.first for s in today), max(s.last for s in today)
    rest = rules.daily_rest
    sooner = priced(facts.scenario, person, day)
    if sooner or kept(facts.scenario, person, day, "daily_rest"):
        ended = max((s.last for s in before), default=None) if before else None
        if before and ended is not None:
            begins = mine[0][0]
            # A price buys rest for the shifts as they are written, not for overtime around them.
            as_written = ended == max(s.end for s in before) and begins >= today[0].start
            if begins < ended + rest.value and not (sooner and as_written):
                facts.broken(
                    "rest", person.id,
                    f"works from {facts.at(begins)}, {lasting(begins - ended)} after "
                    f"{facts.at(ended)}; {lasting(rest.value)} are asked ({rest.source})",
                )  # fmt: skip
            first = max(first, min(begins, ended + rest.value))
        inner = max((b.first - a.last for a, b in pairwise(today)), default=0)
        if last - first > DAY - rest.value and inner < rest.value:
            facts.broken(
                "rest", person.id,
                f"{facts.span(first, last)} leaves no {lasting(rest.value)} of rest in 24 h "
                f"({rest.source})",
            )  # fmt: skip
    if kept(facts.scenario, person, day, "breaks"):
        for shift in today:
            length = shift.last - shift.first
            if length > rules.break_after.value and max(shift.rests, default=0) < (
                rules.break_length.value
            ):
                facts.broken(
                    "rest", person.id,
                    f"{facts.span(shift.first, shift.last)} without a break; one is due beyond "
                    f"{lasting(rules.break_after.value)} ({rules.break_after.source})",
                )  # fmt: skip


def _young(facts: Facts, person: Person, today: list[Shift], work: list[Stretch]) -> None:
    """No work at night; no more than so much a day, what is written counted."""
    rules = limits(facts.scenario, person, today[0].day)
    if rules is None:
        return
    for start, end in work:
        if not any(s.holds(start, end) for s in today):
            continue
        for a, b in nights(facts.scenario, person, today[0].day):
            if start < b and end > a:
                facts.broken(
                    "young", person.id,
                    f"works {facts.span(max(start, a), min(end, b))}, at night, under age "
                    f"({rules.nights[0].source})",
                )  # fmt: skip
    most = rules.daily_hours
    worked = sum(s.last - s.first - sum(s.rests) for s in today)
    if most is not None and worked > most.value and any(s.holds(*w) for s in today for w in work):
        facts.broken(
            "young", person.id,
            f"{lasting(worked)} on {facts.at(today[0].first)[:-6]}, under age; at most "
            f"{lasting(most.value)} ({most.source})",
        )  # fmt: skip


def _weeks(facts: Facts, person: Person, shifts: list[Shift]) -> None:
    """A weekly rest in every calendar week that somebody works in, overtime counted."""
    clock = facts.scenario.clock
    edges = sorted((s.first, s.last) for s in shifts)
    free: list[Stretch] = []
    end = edges[0][0] - 14 * DAY if edges else 0
    for a, b in edges:
        if a > end:
            free.append((end, a))
        end = max(end, b)
    free.append((end, end + 14 * DAY))
    for monday, week in _calendar(facts, shifts):
        day = clock.local(week[0]).date()
        rules = limits(facts.scenario, person, monday)
        if rules is None or not kept(facts.scenario, person, monday, "weekly_rest"):
            continue
        least = rules.weekly_rest.value
        whole = least + (rules.beside_daily.value if rules.beside_daily else 0)

        def pieces(start: int, stop: int, least: int = least, whole: int = whole) -> int:
            return sum(
                (min(b, stop) - max(a, start)) // least
                for a, b in free
                if b - a >= whole and min(b, stop) > max(a, start)
            )

        enough = pieces(*week) > 0
        if not enough and rules.fortnight is not None:
            length = week[1] - week[0]
            for start, stop in ((week[0] - length, week[1]), (week[0], week[1] + length)):
                long = any(
                    min(b, stop) - max(a, start) >= rules.fortnight.value for a, b in free
                )
                enough = enough or long or pieces(start, stop) > 1
        if not enough:
            facts.broken(
                "rest", person.id,
                f"no weekly rest of {lasting(whole)} in the week from {day} "
                f"({rules.weekly_rest.source})",
            )  # fmt: skip


def _calendar(facts: Facts, shifts: list[Shift]) -> list[tuple[date, Stretch]]:
    """Monday to Monday, with the first day worked in it; weeks that the horizon touches."""
    clock = facts.scenario.clock
    monday = clock.first_day - timedelta(days=clock.first_day.weekday())
    found = []
    while monday <= clock.last_day:
        start, stop = (
            clock.minute(datetime(d.year, d.month, d.day))
            for d in (monday, monday + timedelta(days=7))
        )
        mine = [s.day for s in shifts if start <= s.start < stop]
        if mine and start < clock.horizon:
            found.append((min(mine), (start, stop)))
        monday += timedelta(days=7)
    return found

"""Who is there when: shifts, breaks, opening hours and parts of the day on the grid."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE
from scheduler.domain.times import Hours
from scheduler.workload.presence import Presence, presence
from scheduler.workload.spending import Extra

if TYPE_CHECKING:
    from datetime import date

    from scheduler.domain.kitchen import Person
    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario

Spans = tuple[tuple[int, int], ...]
"""Disjoint stretches [start, end), in order."""


def merged(spans: Iterable[tuple[int, int]]) -> Spans:
    """The union; stretches that touch become one."""
    out: list[tuple[int, int]] = []
    for start, end in sorted(s for s in spans if s[0] < s[1]):
        if out and start <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((start, end))
    return tuple(out)


def both(one: Spans, other: Spans) -> Spans:
    """What lies in both."""
    out: list[tuple[int, int]] = []
    i = j = 0
    while i < len(one) and j < len(other):
        start, end = max(one[i][0], other[j][0]), min(one[i][1], other[j][1])
        if start < end:
            out.append((start, end))
        if one[i][1] < other[j][1]:
            i += 1
        else:
            j += 1
    return tuple(out)


def without(spans: Spans, holes: Spans) -> Spans:
    """What is left outside the holes."""
    if not spans:
        return ()
    edges = [spans[0][0], *(x for hole in holes for x in hole), spans[-1][1]]
    outside = merged((a, b) for a, b in zip(edges[::2], edges[1::2], strict=True))
    return both(spans, outside)


def _fits(spans: Spans, length: int) -> list[int]:
    """The ends of the stretches that are long enough."""
    return [b for a, b in spans if b - a >= length]


@dataclass(frozen=True, slots=True)
class Floating:
    """A break that moves: whose, in what stretch, how long; ticks."""

    name: str
    person: int
    earliest: int
    latest: int
    length: int


def after_midnight(pause: Hours, shift: Hours) -> Hours:
    """A break by its shift's day: a night shift's may lie after midnight."""
    later = 1440 if pause.start < shift.start else 0
    return Hours(pause.start + later, pause.end + later)


def pausing(scenario: Scenario) -> frozenset[int]:
    """People of sections in which some work may pause over a break."""
    sections: set[str] = set()
    recipes: list[Component | Dish] = [*scenario.components, *scenario.dishes]
    for recipe in recipes:
        methods = (step for method in recipe.methods for step in method.steps)
        for step in (*recipe.steps, *methods):
            if step.may_leave is not None and step.may_leave.breaks:
                sections |= {h.section or step.section or recipe.section for h in step.hands}
    for duty in scenario.kitchen.duties:
        if duty.may_leave is not None and duty.may_leave.breaks and duty.section is not None:
            sections.add(duty.section)
    return frozenset(
        p
        for p, person in enumerate(scenario.kitchen.people)
        if ANYONE in sections or sections & set(person.sections)
    )


def longest_pause(scenario: Scenario) -> int:
    """The most that the breaks of one shift take, minutes on the grid."""
    grid = scenario.kitchen.grid
    return max(
        (
            sum(-(-(b.end - b.start) // grid) * grid for b in shift.breaks)
            + sum(-(-b.length // grid) * grid for b in shift.floating_breaks)
            for person in scenario.kitchen.people
            for shift in person.shifts
        ),
        default=0,
    )


class Calendar:
    """Everything about time that does not depend on recipes, in ticks.

    Attributes
    ----------
    now, horizon : int
        `plan_from` rounded up, the end rounded down.
    working : list of spans
        Each person's shifts less fixed breaks, days off and what rest takes,
        inside opening hours, from `now` on; rounded inwards.
    people : list of spans
        The same, with the fixed breaks of those whose work may pause over
        them: these stand in `pauses` instead.
    pauses : list of (int, int, int)
        Person, start and end of such a fixed break.
    floating : list of Floating
        Breaks that move, as far as there is room for them.
    extras : tuple of Extra
        Overtime around the shifts, and daily rest that may be eaten.
    eaten : list of spans
        Each person's shifts in such rest, less breaks.
    house : spans
        Somebody is on shift (breaks do not count as absence).
    parts : dict of str to spans
        Occurrences of each part of the day, rounded inwards, in order.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.clock = scenario.clock
        self.grid = scenario.kitchen.grid
        self.now_minute = self.clock.minute(scenario.week.plan_from)
        self.now = -(-self.now_minute // self.grid)
        self.horizon = self.clock.horizon // self.grid
        self.days = self.clock.days()
        hours = scenario.kitchen.open
        opened = (
            merged(self.clock.span(day, hours) for day in self.days)
            if hours is not None
            else ((self.now_minute, self.clock.horizon),)
        )
        let_go = [x.day for x in scenario.week.accepted if x.rule == "open-hours" and x.day]
        opened = merged([*opened, *(self.clock.span(day, Hours(0, 1440)) for day in let_go)])
        self.open = both(opened, ((self.now_minute, self.clock.horizon),))
        there = [presence(scenario, p) for p in scenario.kitchen.people]
        shifts = [merged(p.shifts) for p in there]
        self.working = [
            self.ticks(both(without(whole, self._breaks(p)), self.open))
            for p, whole in zip(scenario.kitchen.people, shifts, strict=True)
        ]
        self.people = list(self.working)
        self.pauses: list[tuple[int, int, int]] = []
        for p in sorted(pausing(scenario)):
            self.people[p] = self.ticks(both(shifts[p], self.open))
            holes = without(self.people[p], self.working[p])
            self.pauses += [(p, start, end) for start, end in holes]
        self.floating = [
            found
            for p, person in enumerate(scenario.kitchen.people)
            for found in self._floating(p, person)
        ]
        self.eaten: list[Spans] = []
        rests: list[Extra] = []
        for n, (person, one) in enumerate(zip(scenario.kitchen.people, there, strict=True)):
            before = [Extra(n, *span, at_end=False, rest=True) for span in self._rests(one)]
            rests += before
            self.eaten.append(self._eaten(n, person, one, before))
        self.extras = tuple(
            extra for n, p in enumerate(there) for one in p.extras for extra in self._extra(n, *one)
        ) + tuple(rests)
        week = ((0, self.clock.horizon),)
        self.house = self.ticks(both(merged(s for whole in shifts for s in whole), week))
        self.parts = {
            part.id: tuple(
                span
                for day in self.days
                for span in self.ticks((self.clock.span(day, part.hours),))
                if span[0] >= 0 and span[1] <= self.horizon
            )
            for part in scenario.kitchen.day_parts
        }

    def excuse(self, away: Mapping[str, int], now: int) -> None:
        """Nobody who is away is asked for overtime from now on until they are back (minutes)."""
        people, was, kept = self.scenario.kitchen.people, -(-now // self.grid), list[Extra]()
        for x in self.extras:
            if x.rest or x.start * self.grid >= away.get(people[x.person].id, 0):
                kept.append(x)
            elif x.start < was:  # what they have done of it
                kept.append(replace(x, end=min(x.end, was)))
        self.extras = tuple(kept)

    def longer(self, person: int, there: Spans) -> Spans:
        """A person's stretches with all the overtime and all the rest that may be used."""
        extra = ((x.start, x.end) for x in self.extras if x.person == person and not x.rest)
        return both(
            merged((*there, *extra, *self.eaten[person])), ((self.now, self.horizon),)
        )

    def _rests(self, there: Presence) -> Iterator[tuple[int, int]]:
        """Daily rest that may be eaten, on the grid: to the first point at which it is over."""
        for start, end in there.eaten:
            first, last = max(-(-start // self.grid), self.now), -(-end // self.grid)
            if first < last and first < self.horizon:
                yield first, last

    def _eaten(self, p: int, person: Person, there: Presence, rests: list[Extra]) -> Spans:
        """The shifts as written in the rest that may be eaten.

        Whoever comes in sooner has the breaks that lie there: fixed ones, and of
        one that moves and has no room later the last minutes in which it may
        lie; where it has none there either, nobody comes in sooner on that day.
        """
        if not rests:
            return ()
        whole = self.ticks(
            both(without(merged(there.written), self._breaks(person)), self.open)
        )
        found = both(whole, tuple((x.start, x.end) for x in rests))
        for _, between, length in self._moving(person):
            room = both(whole, between)
            near = [(x.start, x.end) for x in rests if both(room, ((x.start, x.end),))]
            if not near or _fits(both(room, self.working[p]), length) or not _fits(room, length):
                continue
            ends = _fits(both(found, room), length)
            found = without(found, ((ends[-1] - length, ends[-1]),) if ends else tuple(near))
        return found

    def _breaks(self, person: Person) -> Spans:
        """Fixed breaks of all shifts, in minutes."""
        holes: list[tuple[int, int]] = []
        for shift in person.shifts:
            for day in self.days:
                if day in person.off or not any(day in days for days in shift.days):
                    continue
                start, end = self.clock.span(day, shift.hours)
                for pause in shift.breaks:
                    first, last = self.clock.span(day, after_midnight(pause, shift.hours))
                    holes.append((max(first, start), min(last, end)))
        return merged(holes)

    def _extra(self, person: int, start: int, end: int, at_end: bool) -> list[Extra]:
        """Overtime on the grid, as far as the kitchen is open right beside the shift.

        It counts from the last (or first) point of the grid in the shift.
        """
        first = start // self.grid if at_end else -(-start // self.grid)
        last = end // self.grid if at_end else -(-end // self.grid)
        beside = first if at_end else last
        for a, b in self.ticks(self.open):
            if a <= beside <= b:
                first, last = max(first, 0 if at_end else a), min(last, b)
                return [Extra(person, first, last, at_end)] if first < last else []
        return []

    def _floating(self, p: int, person: Person) -> Iterator[Floating]:
        """Breaks that move, inside what planning meets of the shift; none where it is too short."""
        for name, between, length in self._moving(person):
            room = both(between, self.working[p])
            if _fits(room, length):
                yield Floating(name, p, room[0][0], room[-1][1], length)

    def _moving(self, person: Person) -> Iterator[tuple[str, Spans, int]]:
        """Breaks that move as they are written: name, where they may lie, length in ticks."""
        for day in self.days:
            if day in person.off:
                continue
            of_day = 0
            for shift in person.shifts:
                if not any(day in days for days in shift.days):
                    continue
                for pause in shift.floating_breaks:
                    of_day += 1
                    between = after_midnight(pause.between, shift.hours)
                    start, end = self.clock.span(day, between)
                    span = self.ticks(((start, end + self._late(person, day)),))
                    name = f"{person.id}/{day.isoformat()}/{of_day}"
                    yield name, span, -(-pause.length // self.grid)

    def _late(self, person: Person, day: date) -> int:
        """How much later somebody accepts that a break lies, minutes."""
        return max(
            (
                x.late or 0
                for x in self.scenario.week.accepted
                if x.rule == "break" and x.person == person.id and x.day == day
            ),
            default=0,
        )

    def ticks(self, spans: Iterable[tuple[int, int]]) -> Spans:
        """Minutes to ticks, rounded inwards; what is left of nothing is dropped."""
        rounded = ((-(-a // self.grid), b // self.grid) for a, b in spans)
        return tuple((a, b) for a, b in rounded if a < b)

"""Who is there when: shifts, breaks, opening hours and parts of the day on the grid."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from scheduler.domain.times import Hours

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Person
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


class Calendar:
    """Everything about time that does not depend on recipes, in ticks.

    Attributes
    ----------
    now, horizon : int
        `plan_from` rounded up, the end rounded down.
    people : list of spans
        Each person's shifts less fixed breaks and days off, inside opening
        hours, from `now` on; rounded inwards.
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
        shifts = [self._shifts(p) for p in scenario.kitchen.people]
        self.people = [self.ticks(both(there, self.open)) for _, there in shifts]
        week = ((0, self.clock.horizon),)
        self.house = self.ticks(both(merged(s for whole, _ in shifts for s in whole), week))
        self.parts = {
            part.id: tuple(
                span
                for day in self.days
                for span in self.ticks((self.clock.span(day, part.hours),))
                if span[0] >= 0 and span[1] <= self.horizon
            )
            for part in scenario.kitchen.day_parts
        }

    def _shifts(self, person: Person) -> tuple[Spans, Spans]:
        """Shifts whole, and less their fixed breaks, in minutes."""
        whole: list[tuple[int, int]] = []
        holes: list[tuple[int, int]] = []
        for shift in person.shifts:
            for day in self.days:
                if day in person.off or not any(day in days for days in shift.days):
                    continue
                start, end = self.clock.span(day, shift.hours)
                whole.append((start, end))
                for pause in shift.breaks:
                    # A night shift's break may lie after midnight.
                    later = 1440 if pause.start < shift.hours.start else 0
                    first, last = self.clock.span(
                        day, Hours(pause.start + later, pause.end + later)
                    )
                    holes.append((max(first, start), min(last, end)))
        spans = merged(whole)
        return spans, without(spans, merged(holes))

    def ticks(self, spans: Iterable[tuple[int, int]]) -> Spans:
        """Minutes to ticks, rounded inwards; what is left of nothing is dropped."""
        rounded = ((-(-a // self.grid), b // self.grid) for a, b in spans)
        return tuple((a, b) for a, b in rounded if a < b)

"""Who is there when, and who may do what, worked out again from the kitchen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE
from scheduler.plan.audit.stretches import Stretch, common, merged, without

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Person
    from scheduler.domain.recipes import Hands
    from scheduler.domain.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Brigade:
    """Stretches of presence.

    Attributes
    ----------
    at_work : dict of str to list of (int, int)
        Each person's shifts less breaks, without days off.
    breaks : dict of str to list of (int, int)
        Each person's fixed breaks.
    in_house : list of (int, int)
        Somebody is on shift; a break is no absence.
    open : list of (int, int) or None
        Opening hours; None: always.
    """

    at_work: dict[str, list[Stretch]]
    breaks: dict[str, list[Stretch]]
    in_house: list[Stretch]
    open: list[Stretch] | None

    def free(self, person: str) -> list[Stretch]:
        """When a person may have visits: at work and the kitchen open."""
        there = self.at_work.get(person, [])
        return there if self.open is None else common(there, self.open)


def brigade(scenario: Scenario) -> Brigade:
    """Work out shifts, breaks and opening hours over the week; a shift counts for its first day."""
    clock = scenario.clock
    days = clock.days(margin=2)
    at_work: dict[str, list[Stretch]] = {}
    rests: dict[str, list[Stretch]] = {}
    everybody: list[Stretch] = []
    for person in scenario.kitchen.people:
        shifts: list[Stretch] = []
        breaks: list[Stretch] = []
        for shift in person.shifts:
            for day in days:
                if day in person.off or not any(day in d for d in shift.days):
                    continue
                span = clock.span(day, shift.hours)
                shifts.append(span)
                for pause in shift.breaks:
                    # A night shift's break may lie after midnight.
                    after = pause.start < shift.hours.start
                    moved = type(pause)(pause.start + 1440, pause.end + 1440) if after else pause
                    breaks += common([span], [clock.span(day, moved)])
        rests[person.id] = merged(breaks)
        at_work[person.id] = without(merged(shifts), rests[person.id])
        everybody += shifts
    hours = scenario.kitchen.open
    opened = None if hours is None else merged(clock.span(day, hours) for day in days)
    return Brigade(at_work, rests, merged(everybody), opened)


def able(person: Person, hands: Hands, section: str) -> bool:
    """Of the section (anyone: of any) at the level at least."""
    wanted = hands.section or section
    if wanted == ANYONE:
        return max(level.rank for level in person.sections.values()) >= hands.level.rank
    level = person.sections.get(wanted)
    return level is not None and level.rank >= hands.level.rank

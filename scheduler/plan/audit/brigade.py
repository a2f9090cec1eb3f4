"""Who is there when, and who may do what, worked out again from the kitchen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE
from scheduler.plan.audit.presence import presence, shifts_of
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
        Each person's shifts less breaks, without days off, less what rest takes.
    may_work : dict of str to list of (int, int)
        The same with as much overtime as each may have, and with the rest that they may eat.
    sooner : dict of str to list of (int, int)
        What of each person's shifts lies in rest that they may eat, less breaks.
    breaks : dict of str to list of (int, int)
        Each person's fixed breaks.
    in_house : list of (int, int)
        Somebody is on shift; a break is no absence.
    open : list of (int, int) or None
        Opening hours; None: always.
    """

    at_work: dict[str, list[Stretch]]
    may_work: dict[str, list[Stretch]]
    sooner: dict[str, list[Stretch]]
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
    may_work: dict[str, list[Stretch]] = {}
    sooner: dict[str, list[Stretch]] = {}
    rests: dict[str, list[Stretch]] = {}
    everybody: list[Stretch] = []
    for person in scenario.kitchen.people:
        shifts = shifts_of(scenario, person)
        there, breaks, eaten = presence(scenario, person, shifts)
        at_work[person.id], rests[person.id] = without(there, breaks), breaks
        longer = merged((s.early, s.late) for s in shifts)
        around = without(longer, merged((s.start, s.end) for s in shifts))
        sooner[person.id] = without(eaten, breaks)
        may_work[person.id] = merged([*at_work[person.id], *around, *sooner[person.id]])
        everybody += there
    hours = scenario.kitchen.open
    opened = None if hours is None else merged(clock.span(day, hours) for day in days)
    return Brigade(at_work, may_work, sooner, rests, merged(everybody), opened)


def able(person: Person, hands: Hands, section: str) -> bool:
    """Of the section (anyone: of any) at the level at least."""
    wanted = hands.section or section
    if wanted == ANYONE:
        return max(level.rank for level in person.sections.values()) >= hands.level.rank
    level = person.sections.get(wanted)
    return level is not None and level.rank >= hands.level.rank

"""Stepping away and breaks as primitives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.leaving import APART
from scheduler.workload.calendars import longest_pause
from scheduler.workload.compiled import BreakRecord
from scheduler.workload.hands import add_crew
from scheduler.workload.primitives import Leave, Line, Way

if TYPE_CHECKING:
    from scheduler.domain.leaving import Leave as Written
    from scheduler.workload.builder import Builder


def leave_of(
    b: Builder, written: Written | None, people: int, begun: int = 0, beyond: int = 0
) -> tuple[Leave | None, int]:
    """How far a job may be left, and by how much it may become longer for that, ticks.

    times x longest (down to the grid), and with `breaks` for each of so many
    people as long as the breaks of any shift. `begun`, `beyond`: for how long
    it goes on before and after the part that planning sees.
    """
    if written is None:
        return None, 0
    longest = b.down(written.longest)
    pause = b.up(longest_pause(b.scenario)) if written.breaks else 0
    leave = Leave(written.times, longest, max(1, b.up(APART)), written.breaks, begun, beyond)
    return leave, written.times * longest + people * pause


def add_breaks(b: Builder) -> None:
    """Every break that moves, and the fixed ones of those whose work may pause over them.

    Each is a fixed batch with one task in its stretch and a crew of that one
    person.
    """
    for one in b.calendar.floating:
        task = _rest(b, f"break/{one.name}", one.person, one.length, one.earliest, one.latest)
        b.breaks.append(BreakRecord(one.name, b.scenario.kitchen.people[one.person].id, task))
    for person, start, end in b.calendar.pauses:
        name = f"pause/{b.scenario.kitchen.people[person].id}/{start}"
        _rest(b, name, person, end - start, start, end)


def _rest(b: Builder, name: str, person: int, length: int, earliest: int, latest: int) -> int:
    batch = b.add_batch(name, fixed=True)
    task = b.add_task(name, batch, length, length, earliest, latest)
    add_crew(b, task, (Way((Line((person,)),), length, length),), rest=True)
    return task

"""Stepping away and breaks: what may not be left, and breaks for which there is no room."""

from __future__ import annotations

from scheduler.domain.base import Alone, Word
from scheduler.domain.draft import Draft
from scheduler.domain.kitchen import Shift
from scheduler.domain.leaving import FloatingBreak, Leave
from scheduler.domain.problems import Problem
from scheduler.domain.recipes import Decides
from scheduler.domain.times import write_duration
from scheduler.domain.walks import steps


def leaving(draft: Draft) -> list[Problem]:
    """What may be left can be left, and every break that moves has room on the grid."""
    found: list[Problem] = []
    for _, step in steps(draft):
        if step.may_leave is not None:
            touched = [n.equipment for n in step.on if n.equipment]
            found += _left(draft, step, step.may_leave, touched, step.alone)
            if step.time.decides is Decides.IT:
                what = "the food decides how long it takes, so nobody can be away from it"
                found.append(draft.problem(step, "may_leave", what=what))
    for duty in draft.kitchen.duties:
        if duty.may_leave is not None:
            taken = [t.equipment for t in duty.equipment]
            found += _left(draft, duty, duty.may_leave, taken, Alone.YES)
    for person in draft.kitchen.people:
        for shift in person.shifts:
            for pause in shift.floating_breaks:
                found += _break(draft, shift, pause)
    return found


def _left(
    draft: Draft, owner: Word, leave: Leave, touched: list[str], alone: Alone
) -> list[Problem]:
    grid = draft.kitchen.grid
    found = []
    if leave.times and leave.longest < grid:
        what = f"{write_duration(leave.longest)} is nothing on the grid of {grid} min"
        found.append(draft.problem(leave, "longest", what=what, maybe=write_duration(grid)))
    never = [
        kind.id for name in touched for kind, _ in draft.units_of(name)
        if kind.unattended is Alone.NEVER
    ]  # fmt: skip
    if alone is Alone.NEVER or never:
        which = f"{never[0]} never runs" if never else "it is never"
        what = f"{which} alone, so nobody may step away from it"
        found.append(draft.problem(owner, "may_leave", what=what))
    return found


def _break(draft: Draft, shift: Shift, pause: FloatingBreak) -> list[Problem]:
    grid, between = draft.kitchen.grid, pause.between
    later = 1440 if between.start < shift.hours.start else 0
    start, end = between.start + later, between.end + later
    if start < shift.hours.start or end > shift.hours.end:
        what = f"the break between {between} leaves the shift {shift.hours}"
        return [draft.problem(pause, "between", what=what)]
    length = -(-pause.length // grid) * grid
    room = end // grid * grid - -(-start // grid) * grid
    if length > room:
        what = (
            f"on the grid of {grid} min a break of {write_duration(pause.length)} is "
            f"{write_duration(length)}, and between {between} there are {write_duration(room)}"
        )
        return [draft.problem(pause, "length", what=what)]
    return []

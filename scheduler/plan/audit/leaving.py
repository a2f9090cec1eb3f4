"""Stepping away: who is at two things, and whether the first of them may be left for the other."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.domain.leaving import APART
from scheduler.plan.audit.amounts import up
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.stretches import merged

if TYPE_CHECKING:
    from scheduler.domain.leaving import Leave
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit.facts import Facts


@dataclass(frozen=True, slots=True)
class Spell:
    """A stretch of somebody's time.

    Attributes
    ----------
    what : str
        Task, duty or break.
    leave : Leave or None
        How far it may be left.
    work : int
        So much of it must be work, minutes, where it may be left.
    pause : bool
        It is a break.
    begun, beyond : int
        For how long it goes on before and after that, minutes.
    """

    start: int
    end: int
    what: str
    leave: Leave | None = None
    work: int = 0
    pause: bool = False
    begun: int = 0
    beyond: int = 0


def longest_pause(scenario: Scenario) -> int:
    """The most that the breaks of one shift take, each up to the grid."""
    grid = scenario.kitchen.grid
    totals = [
        sum(up(b.end - b.start, grid) for b in shift.breaks)
        + sum(up(b.length, grid) for b in shift.floating_breaks)
        for person in scenario.kitchen.people
        for shift in person.shifts
    ]
    return max(totals, default=0)


def drawn_out(scenario: Scenario, leave: Leave | None, people: int) -> int:
    """By how much a job may be longer than its work: its leavings, and for each of its people the
    breaks of a shift."""
    if leave is None:
        return 0
    pause = longest_pause(scenario) if leave.breaks else 0
    return leave.times * leave.longest + people * pause


def check(facts: Facts, days: dict[str, list[Spell]]) -> None:
    """Rules `one-place` and `stepping-away`, for what everybody does."""
    left: dict[Spell, list[tuple[str, Spell]]] = defaultdict(list)
    for person, spells in days.items():
        ordered = sorted(
            (s for s in spells if s.start < s.end), key=lambda s: (s.start, -s.end, s.what)
        )
        for i, one in enumerate(ordered):
            for other in ordered[i + 1 :]:
                if other.start >= one.end:
                    break
                if _may_be_left(one, other):
                    left[one].append((person, other))
                elif not (one.pause and other.pause):
                    both = min(one.end, other.end)
                    facts.broken(
                        "one-place",
                        person,
                        f"is at {one.what} and at {other.what} "
                        f"{facts.span(other.start, both)} ({lasting(both - other.start)})",
                        both - other.start,
                    )
    for job, away in left.items():
        _job(facts, job, away)


def _may_be_left(job: Spell, other: Spell) -> bool:
    """Is the other thing short enough, or a break, and inside the job?"""
    leave = job.leave
    if leave is None or other.end > job.end:
        return False
    if other.pause:
        return leave.breaks
    return other.leave is None and other.end - other.start <= leave.longest


def _job(facts: Facts, job: Spell, away: list[tuple[str, Spell]]) -> None:
    leave = job.leave
    if leave is None:
        return
    short = [(person, s) for person, s in away if not s.pause]
    if len(short) > leave.times:
        facts.broken(
            "stepping-away", job.what, f"is left {len(short)} times, may be {leave.times} times"
        )
    for person in dict.fromkeys(p for p, _ in away):
        gone = sorted((s.start, s.end) for p, s in away if p == person)
        first, last = job.start - job.begun, job.end + job.beyond
        for (_, back), (off, _) in pairwise([(first, first), *gone, (last, last)]):
            if off - back < APART:
                facts.broken(
                    "stepping-away",
                    job.what,
                    f"{person} is at it only {lasting(max(0, off - back))} from "
                    f"{facts.at(back)}, at least {lasting(APART)}",
                )
    # What is a break for several of them at once is lost once.
    pauses = merged((s.start, s.end) for _, s in away if s.pause)
    worked = job.end - job.start - sum(b - a for a, b in pauses)
    worked -= sum(s.end - s.start for _, s in short)
    if worked < job.work:
        facts.broken(
            "stepping-away",
            job.what,
            f"{lasting(worked)} of work are left, it takes {lasting(job.work)}",
        )

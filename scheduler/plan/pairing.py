"""Two plans on one clock, and when a difference between them is none."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import replace
from datetime import timedelta
from typing import TypeVar

from scheduler.plan.changes import Stretch
from scheduler.plan.file import PlanFile
from scheduler.plan.jobs import Job, jobs
from scheduler.plan.model import PlannedTask
from scheduler.plan.words import Names

CHANGE = 15
"""Minutes from which a move is one; below, in the same order, nobody has to be told."""
FEW = 2
"""So many changes are told one by one."""

K = TypeVar("K", bound=Hashable)


class Pair:
    """An older and a newer plan, perhaps of different revisions of the week.

    Attributes
    ----------
    old, new : Names
    now : int
        The latest moment from which one of them plans, in the middle of the week or from its
        start: what was over by then is no change.
    """

    def __init__(self, old: PlanFile, new: PlanFile) -> None:
        self.old = Names(old.scenario, old.plan)
        self.new = Names(new.scenario, new.plan)
        here, there = old.scenario.clock, new.scenario.clock
        self._later = (here.origin - there.origin) // timedelta(minutes=1)
        self.now = max(
            here.minute(old.scenario.week.plan_from) + self._later,
            there.minute(new.scenario.week.plan_from),
            0 if new.plan.past is None else new.plan.past.now,
        )

    def minute(self, minute: int) -> int:
        """A minute of the older plan on the newer plan's clock."""
        return minute + self._later

    def of_old(self, task: PlannedTask) -> Stretch:
        """When a task of the older plan runs."""
        return self.minute(task.start), self.minute(task.end)

    def jobs(self) -> tuple[dict[str, Job], dict[str, Job]]:
        """What somebody does in the older and in the newer plan, by key."""
        before = {
            j.key: replace(j, start=self.minute(j.start), end=self.minute(j.end))
            for j in jobs(self.old)
            if j.people
        }
        return before, {j.key: j for j in jobs(self.new) if j.people}

    def from_to(self, before: Stretch, after: Stretch) -> str:
        """How much earlier or later, and when: "1 h later, Fri 4 Dec 15:00 instead of 14:00"."""
        moved = after[0] - before[0]
        if not moved:
            length = before[1] - before[0], after[1] - after[0]
            said = f"until {self.moment(after[1], near=after[0])} instead of "
            said += self.moment(before[1], near=after[0])
            return said if length[0] != length[1] else f"at {self.new.moment(after[0])} as before"
        said = f"{self.new.length(abs(moved))} {'later' if moved > 0 else 'earlier'}, "
        return f"{said}{self.new.moment(after[0])} instead of {self.moment(before[0], after[0])}"

    def moment(self, minute: int, near: int) -> str:
        """A moment, without its day where that is the same as another's."""
        same = self.new.local(minute).date() == self.new.local(near).date()
        return self.new.clock(minute) if same else self.new.moment(minute)


def moved(before: Stretch, after: Stretch) -> bool:
    """Is it 15 minutes or more, at its beginning or its end?"""
    return any(abs(a - b) >= CHANGE for a, b in zip(after, before, strict=True))


def reordered(starts: Mapping[K, tuple[int, int]]) -> set[K]:
    """The fewest that must change places so that the old order becomes the new one.

    All but a longest row that keeps its order; what begins together has none.

    Parameters
    ----------
    starts : mapping of key to (int, int)
        When each begins in the older and in the newer plan.
    """
    ordered = sorted(starts, key=lambda k: starts[k])
    ends: list[int] = []
    at: list[int] = []
    for key in ordered:
        start = starts[key][1]
        place = bisect_right(ends, start)
        ends[place : place + 1] = [start]
        at.append(place)
    kept, place = set[K](), len(ends) - 1
    for i in range(len(ordered) - 1, -1, -1):
        if at[i] == place:
            kept.add(ordered[i])
            place -= 1
    return set(ordered) - kept


def listed(said: Iterable[str]) -> str:
    """a; b; c"""
    return "; ".join(said)

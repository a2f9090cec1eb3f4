"""How a plan stands at a moment: what is over, what runs, what is to come."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

from scheduler.domain.times import Clock
from scheduler.plan.words import Names

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan, PlannedBatch, PlannedTask

DOWN, STUCK = "down-", "stuck-"
"""What the ids of duties begin with that stand for a machine or store out of use, or for an oven
that stays at one setting."""
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def says_broken(duty: str, what: str) -> bool:
    """Is it the id of a duty that stands for this being out of use, or stuck?"""
    return duty.rpartition("-")[0] in (f"{DOWN}{what}", f"{STUCK}{what}")


class Planned(Protocol):
    """A plan with its week: a plan file, or the names of one."""

    @property
    def scenario(self) -> Scenario:
        """The week."""

    @property
    def plan(self) -> Plan:
        """The plan."""


class Standing:
    """A plan at a moment.

    Parameters
    ----------
    file : Planned
    at : datetime
        Now, by the kitchen's wall clock.

    Attributes
    ----------
    exactly, now : int
        That moment, and the first on the grid from then on; minutes.
    """

    def __init__(self, file: Planned, at: datetime) -> None:
        self.plan: Plan = file.plan
        self.scenario: Scenario = file.scenario
        self.names = Names(file.scenario, file.plan)
        self.clock: Clock = file.scenario.clock
        self.grid = file.scenario.kitchen.grid
        self.exactly = self.clock.minute(at)
        self.now = self.up(self.exactly)

    def up(self, minute: int) -> int:
        """The first moment of the grid from a minute on."""
        return -(-minute // self.grid) * self.grid

    def down(self, minute: int) -> int:
        """The last moment of the grid up to a minute."""
        return minute // self.grid * self.grid

    def minute(self, moment: datetime | None) -> int:
        """The minute of a moment; now where it is left out."""
        return self.exactly if moment is None else self.clock.minute(moment)

    def said(self, minute: int) -> str:
        """A minute by the kitchen's clock: "Thu 10 Dec 15:20"."""
        local = self.clock.local(minute)
        return f"{DAYS[local.weekday()]} {local.day} {local:%b %H:%M}"

    def midnight(self, minute: int) -> int:
        """The midnight after a moment."""
        day = self.clock.local(minute).date() + timedelta(days=1)
        return self.clock.minute(datetime(day.year, day.month, day.day))

    def until(self, since: datetime | None, until: datetime | None) -> int:
        """The minute until which something lasts; left out: to the end of the day it began."""
        return self.midnight(self.minute(since)) if until is None else self.up(self.minute(until))

    @cached_property
    def task(self) -> dict[str, PlannedTask]:
        """Tasks by id."""
        return {task.id: task for task in self.plan.tasks}

    @cached_property
    def batch(self) -> dict[str, PlannedBatch]:
        """Batches by id."""
        return {batch.id: batch for batch in self.plan.batches}

    @cached_property
    def tasks_of(self) -> dict[str, list[PlannedTask]]:
        """The tasks of each batch, in order of time."""
        found: dict[str, list[PlannedTask]] = {}
        for task in sorted(self.plan.tasks, key=lambda t: (t.start, t.end)):
            found.setdefault(task.batch, []).append(task)
        return found

    def begun(self, task: PlannedTask) -> bool:
        """Has it begun by now, as planned?"""
        return task.start < self.now

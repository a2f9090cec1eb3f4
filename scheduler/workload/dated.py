"""Dates of use, while it is settled which batch feeds whom: from when on food is fresh enough."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING

from scheduler.domain.dating import (
    Dating,
    dating,
    enforced,
    keeps_frozen,
    runs_frozen,
    stands_frozen,
    waits_frozen,
)
from scheduler.domain.profiles import food_limits

if TYPE_CHECKING:
    from collections.abc import Collection

    from scheduler.domain.recipes import Component
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import InProgress, OnHand
    from scheduler.plan.model import PlannedBatch
    from scheduler.workload.model import Stage


class Dated:
    """The rule of a kitchen, if it has one that is enforced.

    Attributes
    ----------
    rule : tuple of (int, int) or None
        Days, the first counted, and minutes up to which no date is needed.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.limits = food_limits(scenario.kitchen)
        self.rule = enforced(self.limits)

    def first_day(self, minute: int, days: int) -> int:
        """Midnight at which the first of so many days begins of which a moment lies in the last."""
        clock = self.scenario.clock
        day = clock.local(minute).date() - timedelta(days=days - 1)
        return clock.minute(datetime.combine(day, time()))

    def fresh_from(self, component: Component, used: int) -> int | None:
        """From when on a component may have been begun that is used up at a moment, minutes.

        None: nobody minds. What stands frozen is not counted from there, unless one
        day is all there is: that of the thawing would be another.
        """
        if self.rule is None or dating(self.scenario, component) is Dating.NONE:
            return None
        if self.rule[0] > 1 and keeps_frozen(self.scenario, component, self.limits):
            return None
        return self.first_day(used, self.rule[0])

    def through(
        self, maker: Component, stage: Stage, component: Component, onward: Collection[int]
    ) -> int | None:
        """The same for what a step of a batch takes, by what the batch itself is for.

        Where the maker is exempt, or stands frozen after that step, the use by
        that step counts.
        """
        here = self.fresh_from(component, stage.latest)
        exempt = dating(self.scenario, maker) is Dating.NONE
        if here is None or exempt or self._freezes(maker, stage.step.id):
            return here
        return max((here, *onward))

    def _freezes(self, maker: Component, step: str) -> bool:
        at = next((i for i, s in enumerate(maker.steps) if s.id == step), 0)
        return keeps_frozen(self.scenario, maker, self.limits) or any(
            waits_frozen(self.scenario, s.then, self.limits)
            or runs_frozen(self.scenario, s, self.limits)
            for s in maker.steps[at:]
        )

    def begun(
        self, component: Component, there: OnHand | InProgress | PlannedBatch, minute: int
    ) -> int | None:
        """From when the date of something that is there already counts, minutes.

        A lot from when it was made, a batch in progress from the start of its
        step; None: no date, or it stands frozen and has a day left for its thawing.
        """
        if self.rule is None or dating(self.scenario, component) is not Dating.OWN:
            return None
        store = getattr(there, "store", None)
        frozen = self.rule[0] > 1 and stands_frozen(self.scenario, store, self.limits)
        return None if frozen else minute

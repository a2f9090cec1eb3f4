"""Cooling: no step, and no row of steps that take over from each other, is longer than allowed.

The clock of a window runs on through waits, loads and other batches, from step to step for as long
as food goes on cooling. Every planned minute counts, also one that only the grid has added.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.cooled import (
    Longest,
    between_counts,
    hard_limit,
    heats,
    limit_at,
    longest,
    part_of,
    runs_on,
)
from scheduler.domain.cooling import NOISE, whole
from scheduler.domain.exposed import Exposing
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.steps import started

if TYPE_CHECKING:
    from fractions import Fraction

    from scheduler.domain.limits import Cooling, Fall, Kept
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask, Share


@dataclass(frozen=True, slots=True)
class Open:
    """Food that has begun to cool.

    Attributes
    ----------
    at : Fraction or None
        How warm it was when its last cooling step ended, °C; None: hot, and out since.
    until : int
        That minute; up to it `spent` is counted.
    spent : dict of Fall to float
        Minutes in each window so far.
    since : str
        The task with which it began.
    """

    at: Fraction | None
    until: int
    spent: dict[Fall, float]
    since: str


@dataclass(frozen=True, slots=True)
class Row:
    """What a task ends of a row of cooling steps: minutes in a window, all steps together."""

    minutes: int
    fall: Fall
    limit: Cooling
    since: str
    over: bool

    def __str__(self) -> str:
        return (
            f"cools for {lasting(self.minutes)} in a row with {self.since} and what lies between, "
            f"for {self.fall}"
        )


class Clocks:
    """Reads a plan for how long food cools in all, step by step."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.rules = Exposing(facts.scenario)
        self.limits = self.rules.limits
        self._rows: dict[str, list[Row]] = {}
        self._after: dict[str, list[Open]] = {}
        self._walked: set[str] = set()

    def rows(self, making: Making, task: PlannedTask) -> list[Row]:
        """Of a cooling task that takes over from another: each window of its limit."""
        self._walk(making)
        return self._rows.get(task.id, [])

    def _walk(self, making: Making) -> None:
        for one in self.facts.towards(making, self._walked):
            for stage in one.stages:
                for task in one.of(stage):
                    self._after[task.id] = self._reckoned(one, stage, task)

    def _before(self, making: Making, stage: Stage, task: PlannedTask) -> list[Open]:
        """All that comes from the step before and goes in now."""
        found: list[Open] = []
        if stage.index > making.first:
            one, maker = making.stages[stage.index - 1], making.component or making.dish
            for earlier in making.of(one):
                if not making.load_by_load(one, stage) or earlier.load == task.load:
                    found += self._after.get(earlier.id, [])
            if one.step is not None and maker is not None:
                found = _out(found, self.rules.waits(maker, one.step))
        for share in self.facts.shares_to.get(making.id, ()):
            source = self.facts.makings.get(share.source)
            if share.step != stage.id or source is None:
                continue
            given = source.stage(share.given) if share.given else source.stages[-1]
            for load in source.of(given) if given is not None else ():
                found += _out(self._after.get(load.id, []), self._stands(share))
        return list({id(one): one for one in found}.values())

    def _stands(self, share: Share) -> Kept:
        component = self.facts.of_share(share)
        return self.rules.zone(component.keeps[0].zone if component else None, component)

    def _reckoned(self, making: Making, stage: Stage, task: PlannedTask) -> list[Open]:
        """What still cools when a task is over."""
        before, step = self._before(making, stage, task), stage.step
        maker = making.component or making.dish
        if step is None or maker is None:
            return before
        if step.cooling is None:
            if heats(self.facts.scenario, step, self.limits):
                return [Open(None, task.end, {}, task.id)]
            return _out(before, self.rules.runs(maker, step))
        cool, limit = step.cooling, limit_at(self.facts.scenario, maker, step.id)
        if limit is None:
            return []
        begins = began(self.facts, making, stage, task)
        before = [o for o in before if runs_on(o.at, cool, limit)]
        spent: dict[Fall, float] = {}
        for fall in limit.windows:
            ran = [
                o.spent.get(fall, 0.0)
                + (max(0, begins - o.until) if between_counts(o.at, cool, fall) else 0)
                for o in before
            ]
            inside = part_of(cool, fall).inside * (task.law_end - begins)
            spent[fall] = max(ran, default=0.0) + inside
        first = min(before, key=lambda o: o.until, default=None)
        since = first.since if first is not None else task.id
        if first is not None:
            self._rows[task.id] = [
                Row(whole(minutes), fall, limit, since, minutes > fall.within + NOISE)
                for fall, minutes in spent.items()
            ]
        return [Open(cool.end, task.law_end, spent, since)]


def _out(some: list[Open], kept: Kept) -> list[Open]:
    """What was hot and has been kept hot or cold meanwhile is not on the bench any more."""
    return some if kept == "out" else [one for one in some if one.at is not None]


def check(facts: Facts) -> None:
    """Rule `cooling`: only limits that are enforced."""
    clocks = Clocks(facts)
    for making, stage, task in cooled(facts):
        maker, step = making.component or making.dish, stage.step
        limit = hard_limit(facts.scenario, maker, stage.id)
        if limit is None or step is None or step.cooling is None:
            continue
        most, takes = longest(step.cooling, limit), lasts(facts, making, stage, task)
        if most is not None and takes > most.minutes:
            facts.broken("cooling", task.id, too_long(takes, most))
            continue
        for row in clocks.rows(making, task):
            if row.over:
                facts.broken("cooling", task.id, f"{row} ({limit.source})")


def cooled(facts: Facts) -> Iterator[tuple[Making, Stage, PlannedTask]]:
    """Every planned load of every step in which something cools."""
    for making in facts.makings.values():
        for stage in making.to_come:
            if stage.step is not None and stage.step.cooling is not None:
                for task in making.of(stage):
                    yield making, stage, task


def began(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> int:
    """The minute from which a load cools."""
    return started(facts, making) if making.running(stage) else task.law_start


def lasts(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> int:
    """How long a load cools, as planned."""
    return task.law_end - began(facts, making, stage, task)


def too_long(takes: int, most: Longest) -> str:
    """The sentence for a step that lasts too long."""
    return f"cools for {lasting(takes)}, at most {lasting(most.minutes)}: {most}"

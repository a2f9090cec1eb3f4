"""Waits between the steps of a batch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.steps import head_start

if TYPE_CHECKING:
    from scheduler.domain.quantity import Quantity
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask


@dataclass(frozen=True, slots=True)
class Waiting:
    """Something that waits between two steps.

    Attributes
    ----------
    load : int
        Load of the earlier step; of the later one where one load goes on in several.
    """

    load: int
    before: PlannedTask
    after: PlannedTask
    quantity: Quantity

    @property
    def start(self) -> int:
        """From the end of unloading."""
        return self.before.end

    @property
    def end(self) -> int:
        """To the start of loading."""
        return self.after.start


def neighbours(making: Making) -> Iterator[tuple[Stage, Stage]]:
    """Every two stages that follow one another."""
    return pairwise(making.to_come)


def pairs(making: Making, one: Stage, other: Stage) -> list[tuple[PlannedTask, PlannedTask]]:
    """The tasks that a wait binds: load by load in waves, otherwise all to all.

    All to all is said by its extremes: of the earlier loads the first and the
    last to end, of the later ones the first and the last to start.
    """
    before, after = making.of(one), making.of(other)
    if making.load_by_load(one, other):
        later = {t.load: t for t in after}
        return [(t, later[t.load]) for t in before if t.load in later]
    if not before or not after:
        return []
    if len(before) == len(after) == 1:
        return [(before[0], after[0])]
    ends = (max(before, key=lambda t: t.end), min(before, key=lambda t: t.end))
    starts = (min(after, key=lambda t: t.start), max(after, key=lambda t: t.start))
    return list(dict.fromkeys(zip(ends, starts, strict=True)))


def waiting(making: Making, one: Stage, other: Stage) -> list[Waiting]:
    """What waits between two stages, as it takes its shelves.

    In waves each pair; one load before several, each of the several; otherwise
    every earlier load until the last of the later ones starts.
    """
    before, after = making.of(one), making.of(other)
    if not before or not after:
        return []
    if making.load_by_load(one, other):
        return [Waiting(a.load, a, b, a.quantity) for a, b in pairs(making, one, other)]
    if len(before) == 1 and len(after) > 1:
        return [Waiting(b.load, before[0], b, b.quantity) for b in after]
    return [Waiting(a.load, a, after[-1], a.quantity) for a in before]


def check(facts: Facts) -> None:
    """Rules `ready`, `at-once`, `not-before` and `wait-limit` between steps."""
    for making in facts.makings.values():
        for one, other in neighbours(making):
            for before, after in pairs(making, one, other):
                _wait(facts, making, one, before, after)


def _wait(
    facts: Facts, making: Making, one: Stage, before: PlannedTask, after: PlannedTask
) -> None:
    gap = after.start - before.end
    wait = one.then
    if gap < 0:
        facts.broken(
            "ready",
            after.id,
            f"starts {facts.at(after.start)}, {lasting(-gap)} before {before.id} is done",
            -gap,
        )
    elif wait is None:
        if gap > 0:
            facts.broken(
                "at-once",
                after.id,
                f"starts {facts.at(after.start)}, {lasting(gap)} after {before.id}; "
                "it must follow at once",
                gap,
            )
    elif gap < wait.not_before:
        facts.broken(
            "not-before",
            after.id,
            f"has waited {lasting(gap)} after {before.id}, must wait {lasting(wait.not_before)}",
            wait.not_before - gap,
        )
    if wait is not None:
        early = head_start(facts, making, one, before)
        if gap + early > wait.at_most:
            facts.broken(
                "wait-limit",
                after.id,
                f"waits {lasting(gap + early)} after {before.id}"
                f"{', counted from its shortest' if early else ''}, "
                f"limit {lasting(wait.at_most)}",
                gap + early - wait.at_most,
            )

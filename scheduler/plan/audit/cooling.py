"""Cooling: a step lasts no longer than the limit on cooling allows what cools in it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.cooled import Longest, longest_of
from scheduler.plan.audit.amounts import up
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.steps import law_of, started

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask


def check(facts: Facts) -> None:
    """Rule `cooling`: only limits that are enforced."""
    for making, stage, task in cooled(facts):
        component = making.component
        most = longest_of(facts.scenario, component, component.steps if component else (), stage.id)
        if most is None:
            continue
        takes = lasts(facts, making, stage, task)
        if takes > most.minutes:
            facts.broken("cooling", task.id, too_long(takes, most))


def cooled(facts: Facts) -> Iterator[tuple[Making, Stage, PlannedTask]]:
    """Every planned load of every step in which something cools."""
    for making in facts.makings.values():
        for stage in making.to_come:
            if stage.step is not None and stage.step.cooling is not None:
                for task in making.of(stage):
                    yield making, stage, task


def lasts(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> int:
    """How long a load cools; minutes that only the grid has added do not count."""
    began = started(facts, making) if making.running(stage) else task.law_start
    planned = task.law_end - began
    least = law_of(facts, making, stage, task).least
    return min(planned, least) if planned <= up(least, facts.grid) else planned


def too_long(takes: int, most: Longest) -> str:
    """The sentence for a step that lasts too long."""
    return f"cools for {lasting(takes)}, at most {lasting(most.minutes)}: {most}"

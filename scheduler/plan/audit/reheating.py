"""Reheating: what was cold and is kept hot again is hot within the limit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.exposed import Exposing
from scheduler.domain.reheated import reheats
from scheduler.plan.audit.cooling import lasts
from scheduler.plan.audit.facts import lasting

if TYPE_CHECKING:
    from scheduler.domain.limits import Length
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask

__all__ = ["check", "lasts", "reheated", "too_long"]


def check(facts: Facts) -> None:
    """Rule `reheat`: only a limit that is enforced."""
    rules = Exposing(facts.scenario)
    limit = rules.limits.reheat_within
    if limit is None or not limit.hard:
        return
    for making, stage, task in reheated(facts, rules):
        takes = lasts(facts, making, stage, task)
        if takes > limit.value:
            facts.broken("reheat", task.id, f"{too_long(takes, limit)} ({limit.source})")


def reheated(facts: Facts, rules: Exposing) -> Iterator[tuple[Making, Stage, PlannedTask]]:
    """Every planned load of every step that reheats for hot holding."""
    for making in facts.makings.values():
        maker = making.component or making.dish
        for stage in making.to_come:
            if maker is not None and stage.step is not None and reheats(rules, maker, stage.step):
                for task in making.of(stage):
                    yield making, stage, task


def too_long(takes: int, limit: Length) -> str:
    """How long it takes, with the limit."""
    return f"reheated in {lasting(takes)}; within {limit}"

"""Unattended work: what may run with nobody at it, and when somebody must be in the house."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.base import Alone
from scheduler.plan.audit.stretches import inside, outside

if TYPE_CHECKING:
    from scheduler.plan.audit.brigade import Brigade
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Stage


def strictest(facts: Facts, stage: Stage) -> tuple[Alone, str]:
    """The stricter of the step's word and that of all its equipment, and whose word it is."""
    said = stage.step.alone if stage.step else Alone.YES
    words = [(said.rank, 0, said, "the step")]
    for i, need in enumerate(stage.needs):
        if need.equipment:
            kind = facts.units(need.equipment)[0][0]
            words.append((kind.unattended.rank, i + 1, kind.unattended, kind.id))
    return min(words, key=lambda w: w[:2])[2:]


def check(facts: Facts, brigade: Brigade) -> None:
    """Rule `alone`, from planning on, while it runs: whoever loads or unloads it is there."""
    for making in facts.makings.values():
        for stage in making.to_come:
            rule, whose = strictest(facts, stage)
            if rule is Alone.YES or stage.hands:
                continue
            for task in making.of(stage):
                start, end = max(task.law_start, facts.now), task.law_end
                if rule is Alone.NEVER:
                    facts.broken(
                        "alone", task.id, f"{whose} must never be alone, and nobody stays at it"
                    )
                elif start < end and not inside(brigade.in_house, start, end):
                    empty = outside(brigade.in_house, start, end) or (start, end)
                    facts.broken(
                        "alone",
                        task.id,
                        f"nobody is in the house {facts.span(*empty)}; {whose} asks for somebody",
                    )

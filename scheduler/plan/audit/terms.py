"""The objective, reckoned again from the plan and the written week."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.audit.amounts import up
from scheduler.plan.audit.buying import spent
from scheduler.plan.audit.clocks import plated_from, uses
from scheduler.plan.audit.served import served
from scheduler.plan.audit.steps import decided_by_itself, law_of, started
from scheduler.plan.audit.waits import neighbours, pairs
from scheduler.plan.model import Terms

if TYPE_CHECKING:
    from scheduler.domain.recipes import Band
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask


def outside(band: Band, minutes: int) -> int:
    """Minutes outside the best band."""
    low, high = band.best()
    return max(0, low - minutes) + max(0, minutes - high)


def terms(facts: Facts) -> Terms:
    """Portions lacking by rank, batches without a place, weighted minutes outside the best.

    quality = sum of weight x minutes outside the best band over waits, shares
    and plated dishes + sum of weight x minutes beyond best over steps whose
    length is ours to choose.
    """
    quality = 0
    for making in facts.makings.values():
        for stage in making.to_come:
            for task in making.of(stage):
                quality += making.weight * stretched(facts, making, stage, task)
        quality += making.weight * waited(making)
        span = plated_from(facts, making)
        if span is not None and making.dish is not None and making.dish.keeps is not None:
            quality += outside(making.dish.keeps, span[1] - span[0])
    for use in uses(facts):
        of = facts.of_share(use.share)
        if of is not None:
            quality += of.weight * outside(of.keeps[0], use.last - use.clock.freshness)
    there = {task.batch for task in facts.plan.tasks}
    left_out = sum(batch.id not in there for batch in facts.plan.batches)
    return Terms(
        served=served(facts), left_out=left_out, money=spent(facts), quality=quality
    )


def stretched(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> int:
    """Minutes a step is planned beyond its best, up to the grid."""
    if stage.step is None or decided_by_itself(stage):
        return 0
    began = task.law_start
    if making.running(stage):
        began = min(began, started(facts, making)) if began <= 0 else began
    law = law_of(facts, making, stage, task)
    if law.most is None:
        return 0
    return max(0, task.law_end - began - up(law.best, facts.grid))


def waited(making: Making) -> int:
    """Minutes outside the best band between steps: each pair in waves, else first to last load."""
    total = 0
    for one, other in neighbours(making):
        if one.then is None:
            continue
        before, after = making.of(one), making.of(other)
        if making.load_by_load(one, other):
            total += sum(outside(one.then, b.start - a.end) for a, b in pairs(making, one, other))
        elif before and after:
            total += outside(one.then, after[-1].start - before[0].end)
    return total


def check(facts: Facts) -> Terms:
    """Rule `terms`; the terms as they are."""
    found, said = terms(facts), facts.plan.terms
    for name in ("served", "money", "changes", "quality"):
        mine, theirs = getattr(found, name), getattr(said, name)
        if mine != theirs:
            facts.broken("terms", name, f"the plan says {theirs}, it is {mine}")
    bound = facts.plan.bound
    if bound is not None and bound > found.quality:
        facts.broken("terms", "bound", f"the plan says {bound}, its own quality is {found.quality}")
    return found

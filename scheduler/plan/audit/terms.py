"""The objective, reckoned again from the plan and the written week."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from scheduler.plan.audit import calm, in_hand, wishes
from scheduler.plan.audit.amounts import up
from scheduler.plan.audit.buying import spent
from scheduler.plan.audit.clocks import plated_from, uses
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.past import changes
from scheduler.plan.audit.report import Cost
from scheduler.plan.audit.rest import eaten, overtime
from scheduler.plan.audit.served import served
from scheduler.plan.audit.steps import decided_by_itself, law_of, started
from scheduler.plan.audit.waits import neighbours, pairs
from scheduler.plan.model import Terms

if TYPE_CHECKING:
    from scheduler.domain.recipes import Band, Wait
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask


def outside(band: Band, minutes: int) -> int:
    """Minutes outside the best band."""
    low, high = band.best()
    return max(0, low - minutes) + max(0, minutes - high)


def terms(facts: Facts) -> Terms:
    """Portions lacking by rank, batches without a place, and what quality pays for, by part."""
    there = {task.batch for task in facts.plan.tasks}
    left_out = sum(batch.id not in there for batch in facts.plan.batches)
    paid = Counter[str]()
    for cost in costs(facts):
        paid[cost.part] += cost.price
    return Terms(
        served=served(facts),
        left_out=left_out,
        money=money(facts),
        changes=changes(facts),
        quality=paid.total(),
        in_hand=paid["in_hand"],
        calm=paid["calm"],
        wishes=paid["wishes"],
    )


def costs(facts: Facts) -> Iterator[Cost]:
    """Everything quality pays for."""
    yield from bands(facts)
    yield from in_hand.quiet(facts)
    yield from calm.costs(facts)
    yield from wishes.costs(facts)


def bands(facts: Facts) -> Iterator[Cost]:
    """Minutes outside the best bands, weighted, and those that lack of time in hand.

    Sum of weight x minutes outside the best band over waits, shares and plated dishes +
    sum of weight x minutes beyond best over steps whose length is ours to choose.
    """
    for making in facts.makings.values():
        for stage in making.to_come:
            for task in making.of(stage):
                minutes = stretched(facts, making, stage, task)
                if minutes:
                    what = f"is given {lasting(minutes)} more than is best"
                    yield Cost("freshness", making.weight * minutes, task.id, what)
        for waits, stage, task, minutes in waited(making):
            yield from _banded(facts, making, stage, task, waits, minutes, making.weight)
        span = plated_from(facts, making)
        if span is not None and making.dish is not None and making.dish.keeps is not None:
            minutes = outside(making.dish.keeps, span[1] - span[0])
            what = f"waits plated {lasting(minutes)} outside its best"
            yield Cost("freshness", minutes, making.id, what)
    for use in uses(facts):
        of = facts.of_share(use.share)
        if of is None:
            continue
        source, age = facts.makings.get(use.share.source), use.last - use.clock.freshness
        if source is None or use.share.source in facts.lots:
            minutes = outside(of.keeps[0], age)
            if minutes:
                yield Cost("freshness", of.weight * minutes, use.share.source, _late(minutes))
            continue
        given = use.share.given
        last = (source.stage(given) if given else None) or source.stages[-1]
        yield from _banded(facts, source, last, source.of(last)[0], of.keeps[0], age, of.weight)


def _banded(
    facts: Facts,
    making: Making,
    stage: Stage,
    task: PlannedTask,
    band: Band,
    minutes: int,
    weight: int,
) -> Iterator[Cost]:
    """What a wait or a hold after a step costs, where it costs something."""
    over = outside(band, minutes)
    if over:
        yield Cost("freshness", weight * over, making.id, _late(over))
    short = in_hand.lacking(facts, making, stage, task, band, minutes)
    if short:
        said = f"is out only {lasting(max(0, minutes))} before it is needed"
        yield Cost("in_hand", weight * short, task.id, said)


def _late(minutes: int) -> str:
    return f"waits {lasting(minutes)} outside its best"


def money(facts: Facts) -> int:
    """ceil((overtime beyond the allowance x its price + rest eaten x its price + what is bought
    beyond its own allowance) / step)."""
    costs = facts.scenario.kitchen.costs
    extra = Fraction(max(0, overtime(facts) - costs.overtime_allowance) * costs.overtime_hour, 60)
    extra += Fraction(sum(x.by for x in eaten(facts)) * costs.rest_hour, 60)
    return ceil((extra + max(0, spent(facts) - costs.buying_allowance)) / costs.step)


def stretched(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> int:
    """Minutes a step is planned beyond its best, up to the grid."""
    if stage.step is None or decided_by_itself(stage) or task.id in facts.done:
        return 0
    began = task.law_start
    if making.running(stage):
        began = min(began, started(facts, making)) if began <= 0 else began
    law = law_of(facts, making, stage, task)
    if law.most is None:
        return 0
    return max(0, task.law_end - began - up(law.best, facts.grid))


def waited(making: Making) -> Iterator[tuple[Wait, Stage, PlannedTask, int]]:
    """Waits between steps: each pair in waves, else from the first load to the last.

    With each its step, load 1 of that step, and the minutes.
    """
    for one, other in neighbours(making):
        if one.then is None:
            continue
        before, after = making.of(one), making.of(other)
        if making.load_by_load(one, other):
            for b, a in pairs(making, one, other):
                yield one.then, one, before[0], a.start - b.end
        elif before and after:
            yield one.then, one, before[0], after[-1].start - before[0].end


def check(facts: Facts) -> Terms:
    """Rule `terms`; the terms as they are."""
    found, said = terms(facts), facts.plan.terms
    for name in ("served", "money", "changes", "quality", "in_hand", "calm", "wishes"):
        mine, theirs = getattr(found, name), getattr(said, name)
        if mine != theirs:
            facts.broken("terms", name, f"the plan says {theirs}, it is {mine}")
    bound = facts.plan.bound
    if bound is not None and bound > found.quality:
        facts.broken("terms", "bound", f"the plan says {bound}, its own quality is {found.quality}")
    return found

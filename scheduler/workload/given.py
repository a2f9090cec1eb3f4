"""By-products: what a batch gives by the way, and batches made for nothing else.

What a step gives is there when it ends: floor(amount × quantity / makes).
It meets what is asked of the component before any of that is made. It never
calls for a batch, unless the component has no steps of its own: then as much
is made of the first recipe that gives it as is still lacking.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.dating import Dating, dating
from scheduler.domain.methods import variants
from scheduler.workload.amounts import ceil_div, ceil_of, convert
from scheduler.workload.demand import Need
from scheduler.workload.laws import law
from scheduler.workload.loads import loads_of, weighed
from scheduler.workload.model import ByProduct
from scheduler.workload.supply import Source
from scheduler.workload.walk import shortest, staged, up

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from scheduler.domain.recipes import Component, Gives, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.kinds import Kinds
    from scheduler.workload.model import WorkBatch


def given_by_others(scenario: Scenario) -> frozenset[str]:
    """Components that some recipe, made in some way, gives by the way."""
    return frozenset(
        g.component
        for c in scenario.components
        for made in variants(c)
        for s in made.steps
        for g in s.gives
    )


def by_products(scenario: Scenario, batch: WorkBatch) -> Iterator[ByProduct]:
    """Everything that the steps of a batch give."""
    maker = scenario.component.get(batch.component or "")
    if maker is None:
        return
    for stage in batch.stages:
        for gives in stage.step.gives:
            given = scenario.component[gives.component]
            each = _each(gives, given) / maker.makes.base
            quantity = int(each * batch.quantity)
            if quantity > 0:
                yield ByProduct(batch.id, stage.step.id, given.id, quantity)


def _each(gives: Gives, given: Component) -> Fraction:
    return convert(gives.amount.base, gives.amount.dimension, given.makes.dimension, given)


def given_sources(
    scenario: Scenario, component: Component, batches: Sequence[WorkBatch], early: dict[str, int]
) -> list[Source]:
    """What the batches made so far give of a component.

    Ready at the latest when the step that gives it ends at its latest, and
    earlier by as much as the batch may be made before its time.
    """
    grid = scenario.kitchen.grid
    now = scenario.clock.minute(scenario.week.plan_from)
    begun = {p.id: p.reserved_for for p in scenario.week.in_progress}
    dated = dating(scenario, component) is Dating.OWN
    found: list[Source] = []
    for batch in batches:
        for one in by_products(scenario, batch):
            if one.component != component.id:
                continue
            maker = scenario.component[batch.component or ""]
            stage = next(s for s in batch.stages if s.step.id == one.step)
            ready = stage.latest + shortest(
                stage.step, max(stage.loads), batch.dimension, maker, grid
            )
            shorter = law(stage.step.time, max(stage.loads), batch.dimension, maker)
            found.append(
                Source(
                    batch.id, False, one.quantity, max(now, ready - early.get(batch.id, 0)),
                    ready - shorter.waits_less(grid), begun.get(batch.id), one.step,
                    batch.stages[0].latest if dated else None,
                )
            )
    return found


def called_for(
    scenario: Scenario, kinds: Kinds, component: Component, need: Need, most: dict[str, int | None]
) -> tuple[str, Need] | None:
    """What must be made of which recipe so that it gives what is needed; None: nothing gives it.

    quantity = ceil(needed × makes / amount), less losses, so that as much is
    weighed up; the step that gives it ends by the use's latest start.
    """
    grid = scenario.kitchen.grid
    for giver in scenario.components:
        for step in giver.steps:
            for gives in step.gives:
                if gives.component != component.id:
                    continue
                each = _each(gives, component) / giver.makes.base
                size = ceil_of(need.quantity / each)
                limit = most.get(giver.id)
                batches = 1 if not limit else ceil_div(size, limit)
                # Each batch gives whole units: one may be lost in every one of them.
                size = ceil_of((need.quantity + batches - 1) / each)
                good = ceil_of(size * (1 - giver.loss.part))
                after = _from_end_of(giver, step, weighed(good, giver), kinds, grid)
                ready = need.latest - up(component.keeps[0].not_before, grid)
                latest = ready + after + up(giver.keeps[0].not_before, grid)
                limits = [w for w in (need.within, component.keeps[0].at_most) if w is not None]
                return giver.id, Need(
                    need.consumer, need.step, giver.id, good, latest, min(limits), need.events,
                    gives=component.id,
                )
    return None


def _from_end_of(giver: Component, step: Step, quantity: int, kinds: Kinds, grid: int) -> int:
    """Shortest time from the end of a step to the end of the last one, minutes."""
    dimension = giver.makes.dimension
    steps = [
        (s, loads_of(s, quantity, dimension, giver, kinds), False) for s in giver.steps
    ]
    stages = staged(steps, 0, dimension, giver, grid)
    stage = next(s for s in stages if s.step.id == step.id)
    return -stage.latest - shortest(step, max(stage.loads), dimension, giver, grid)

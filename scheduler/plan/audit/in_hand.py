"""Time in hand: long unattended work out early, quiet hours, days that are not full."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.plan.audit.amounts import length, up
from scheduler.plan.audit.clocks import fresh_within
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.report import Cost
from scheduler.plan.audit.service import service
from scheduler.plan.audit.steps import law_of

if TYPE_CHECKING:
    from scheduler.domain.recipes import Band
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask


def lacking(
    facts: Facts, making: Making, stage: Stage, task: PlannedTask, band: Band, minutes: int
) -> int:
    """Minutes of time in hand that lack after a step, beyond those outside the best band.

    out_ahead, but no later than best_until, after work of at least `long` that is not
    hands all the way.
    """
    hand = facts.scenario.kitchen.time_in_hand
    if stage.step is None or stage.step.hands:
        return 0
    if law_of(facts, making, stage, task).least < hand.long:
        return 0
    low, high = band.best()
    wanted = min(hand.out_ahead, high)
    return max(0, wanted - max(low, minutes))


def quiet(facts: Facts) -> Iterator[Cost]:
    """Work by hand that begins in the last hours before a first plate and keeps long enough."""
    hand = facts.scenario.kitchen.time_in_hand
    if not hand.quiet or not hand.price:
        return
    clock = facts.scenario.clock
    services = sorted({clock.minute(e.first_plate) for e in facts.scenario.week.events})
    known: dict[str, int | None] = {}
    for making in facts.makings.values():
        if making.component is None:
            continue
        for stage in making.to_come:
            if not stage.hands or making.running(stage):
                continue
            early = _earliest(facts, making, stage.index, known)
            for task in making.of(stage):
                if stage.step is None:
                    continue
                # As one cook would do it: how many share it is not looked at.
                alone = length(stage.step.time, task.quantity, making.component)
                shortest = up(alone.least, facts.grid)
                for away in services:
                    begins = away - hand.quiet
                    if early is not None and early <= begins <= task.start < away:
                        yield Cost(
                            "in_hand",
                            hand.price * shortest,
                            task.id,
                            f"begins {lasting(away - task.start)} before a first plate and keeps "
                            "longer",
                        )


def _earliest(
    facts: Facts, making: Making, place: int, known: dict[str, int | None]
) -> int | None:
    """How early a step may be over, by the waits and holds after it alone."""
    if making.dish is not None:
        keeps = making.dish.keeps
        return service(facts, making) - (keeps.at_most if keeps is not None else 0)
    if making.component is None:
        return None
    if making.id not in known:
        known[making.id] = None  # what feeds itself has no end
        found = []
        for share in facts.shares_from.get(making.id, []):
            if share.by_product:
                continue
            consumer = facts.makings.get(share.consumer)
            stage = consumer.stage(share.step) if consumer else None
            if consumer is None or stage is None:
                continue
            then = _earliest(facts, consumer, stage.index, known)
            within = fresh_within(facts, share)
            limit = making.component.keeps[0].at_most
            if then is not None:
                found.append(then - (limit if within is None else min(limit, within)))
        known[making.id] = max(found, default=None)
    ready = known[making.id]
    if ready is None:
        return None
    waits = [s.then for s in making.stages if s.index >= place and s.then is not None]
    return ready - sum(w.at_most for w in waits)

"""Time in hand: how long before it is needed something is out, and what could be done earlier."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.workload.laws import law
from scheduler.workload.primitives import Band, Dear

if TYPE_CHECKING:
    from scheduler.domain.recipes import Band as Written
    from scheduler.domain.recipes import Step
    from scheduler.workload.builder import Builder, Built


def wanted_band(
    b: Builder, built: Built, step: Step, load: int, written: Written, weight: int
) -> Band:
    """The best band after a step; after long unattended work it begins later.

    low = max(best_from, min(out_ahead, best_until)), so a minute of time in
    hand that lacks counts as a minute outside the band. Long: no hands all
    the way, at_least of load 1 >= `long`.
    """
    low, high = written.best()
    hand = b.scenario.kitchen.time_in_hand
    if hand.out_ahead <= low or step.hands:
        return Band(low, high, weight)
    batch = built.batch
    if law(step.time, load, batch.dimension, b.component(batch)).at_least < hand.long:
        return Band(low, high, weight)
    raised = max(low, min(hand.out_ahead, high))
    return Band(raised, high, weight, ripe=low) if raised > low else Band(low, high, weight)


def add_quiet(b: Builder) -> None:
    """In the last hours before a first plate T nothing by hand begins that keeps until then.

    A step of a component, hands all the way, that starts in [T - quiet, T)
    costs price * its shortest length, if its end may lie by T - quiet as far
    as the waits and holds after it go.
    """
    hand = b.scenario.kitchen.time_in_hand
    if not hand.quiet or not hand.price:
        return
    services = sorted({b.calendar.clock.minute(e.first_plate) for e in b.scenario.week.events})
    for built in b.built.values():
        if built.batch.component is None:
            continue
        for place, (stage, tasks) in enumerate(built.stages):
            early = _earliest(b, built, place)
            if not stage.step.hands or stage.running or early is None:
                continue
            for record in tasks:
                batch = built.batch
                shortest = law(
                    stage.step.time, record.quantity, batch.dimension, b.component(batch)
                ).at_least
                price = hand.price * b.up(shortest) * b.grid
                dear = tuple(
                    Dear(b.up(t - hand.quiet), b.up(t), price)
                    for t in services
                    if early <= t - hand.quiet
                )
                run = record.parts["run"]
                b.tasks[run] = replace(b.tasks[run], dear=b.tasks[run].dear + dear)


def _earliest(b: Builder, built: Built, place: int) -> int | None:
    """The earliest end of a step as far as the waits and holds after it go, minutes.

    Lengths of what follows are left out. max over shares of (the consumer's own earliest -
    hold limit) - the longest waits on the way; None: nobody takes it. By-products do not count.
    """
    batch = built.batch
    if batch.dish is not None:
        keeps = b.scenario.dish[batch.dish].keeps
        service = b.down(batch.service or 0) * b.grid
        return service - (keeps.at_most if keeps is not None else 0)
    if batch.id not in b.early:
        component = b.component(batch)
        limit = 0 if component is None else component.keeps[0].at_most
        found: list[int] = []
        for share in b.work.shares:
            if share.source != batch.id or share.lot or share.given:
                continue
            consumer = b.built[share.consumer]
            steps = [stage.step.id for stage, _ in consumer.stages]
            at = steps.index(share.step) if share.step in steps else len(steps)
            then = _earliest(b, consumer, at)
            if then is not None:
                found.append(then - (limit if share.within is None else min(limit, share.within)))
        b.early[batch.id] = max(found, default=None)
    ready = b.early[batch.id]
    if ready is None:
        return None
    waits = [stage.step.then for stage, _ in built.stages[place:]]
    return ready - sum(w.at_most for w in waits if w is not None)

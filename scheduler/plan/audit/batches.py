"""Batches against their recipes: measure, size, losses, loads, and what was begun before."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity, plain
from scheduler.plan.audit.amounts import A_UNIT, measure
from scheduler.plan.audit.making import tightest

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage


def check(facts: Facts) -> None:
    """Rules `measure`, `batch-size`, `losses`, `loads` and `begun`."""
    for making in facts.makings.values():
        of = making.component
        if measure(making.batch.quantity, making.dimension, of) is None:
            facts.broken(
                "measure",
                making.id,
                f"'{making.batch.quantity}' cannot be reckoned in {making.dimension}",
            )
            continue
        if of is not None:
            _size(facts, making, of)
        _machines(facts, making)
        _losses(facts, making)
        for stage in making.to_come:
            _loads(facts, making, stage)
    _begun(facts)


def good(making: Making) -> Fraction:
    """What is left of a batch after losses, exactly, in its own dimension."""
    return making.size * (1 - making.component.loss.part) if making.component else making.size


def _size(facts: Facts, making: Making, of: Component) -> None:
    if making.begun is not None:
        return
    if making.size <= 0:
        facts.broken("batch-size", making.id, f"a batch of {making.batch.quantity} is nothing")
    least = measure(of.batch.least, making.dimension, of) if of.batch.least else None
    most = measure(of.batch.most, making.dimension, of) if of.batch.most else None
    if least is not None and making.size < least:
        facts.broken(
            "batch-size",
            making.id,
            f"{making.batch.quantity} is less than the smallest batch, {of.batch.least}",
        )
    if most is not None and making.size > most:
        facts.broken(
            "batch-size",
            making.id,
            f"{making.batch.quantity} is more than the largest batch, {of.batch.most}",
        )


def _machines(facts: Facts, making: Making) -> None:
    for stage in making.to_come:
        if stage.step is None or stage.step.in_loads:
            continue
        room = tightest(stage.needs, facts.units, making.dimension, making.component)
        if room and making.size > room[0] and making.begun is None:
            largest = Quantity.of(room[0], making.dimension)
            facts.broken(
                "batch-size",
                making.id,
                f"{making.batch.quantity} is more than {room[1]} takes at once for "
                f"{stage.id}, {largest}",
            )


def _losses(facts: Facts, making: Making) -> None:
    said = measure(making.batch.good, making.dimension, making.component)
    left = good(making)
    if said is None or abs(said - left) >= A_UNIT:
        facts.broken(
            "losses",
            making.id,
            f"gives {making.batch.good}; of {making.batch.quantity} there is "
            f"{Quantity.of(left, making.dimension)} after losses",
        )


def _loads(facts: Facts, making: Making, stage: Stage) -> None:
    tasks = making.of(stage)
    if not tasks:
        return
    counted = {t.loads for t in tasks} | {len(tasks)}
    if counted != {stage.loads}:
        facts.broken(
            "loads",
            f"{making.id}/{stage.id}",
            f"is in {len(tasks)} loads (said to be {', '.join(map(str, sorted(counted)))}); "
            f"{making.batch.quantity} makes {stage.loads}",
        )
    sizes = [measure(t.quantity, making.dimension, making.component) for t in tasks]
    known = [s for s in sizes if s is not None]
    if len(known) < len(sizes):
        facts.broken("measure", f"{making.id}/{stage.id}", "is in a measure of its own")
        return
    slack = A_UNIT if making.dimension is Dimension.COUNT else A_UNIT * len(known)
    if abs(sum(known, Fraction(0)) - making.size) >= slack:
        facts.broken(
            "loads",
            f"{making.id}/{stage.id}",
            f"its loads come to {plain(sum(known, Fraction(0)))}, the batch is "
            f"{plain(making.size)} {making.dimension}",
        )
    if max(known) - min(known) > A_UNIT:
        facts.broken(
            "loads",
            f"{making.id}/{stage.id}",
            f"its loads are unequal, from {plain(min(known))} to {plain(max(known))}",
        )


def _begun(facts: Facts) -> None:
    written = {p.id: p for p in facts.scenario.week.in_progress}
    for begun in written.values():
        batch = facts.batches.get(begun.id)
        if batch is None:
            facts.broken("begun", begun.id, "is in progress but not in the plan")
        elif not batch.in_progress or batch.component != begun.component:
            facts.broken("begun", begun.id, f"is {begun.component} in progress; the plan differs")
        elif batch.method != begun.method or batch.bought is not None:
            facts.broken("begun", begun.id, "is made by another method than the week says")
        elif begun.id in facts.makings and not _as_big(facts.makings[begun.id], begun.quantity):
            facts.broken("begun", begun.id, f"is {begun.quantity}; the plan has {batch.quantity}")
    for batch in facts.batches.values():
        if batch.in_progress and batch.id not in written:
            facts.broken("begun", batch.id, "is said to be in progress; the week knows nothing")


def _as_big(making: Making, quantity: Quantity) -> bool:
    size = measure(quantity, making.dimension, making.component)
    return size is not None and abs(size - making.size) < A_UNIT

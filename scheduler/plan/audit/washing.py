"""Containers that are washed: when they are empty, in time, and all of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.plan.audit.amounts import so_many
from scheduler.plan.audit.facts import lasting

if TYPE_CHECKING:
    from scheduler.domain.washing import Wash
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making


def check(facts: Facts) -> None:
    """Rule `washed`: emptied <= start of washing <= emptied + within; its count is right."""
    for making in facts.makings.values():
        for wash in making.washes:
            for task in making.tasks.get(wash.step.id, []):
                alone = making.washed_in(wash) > 1
                emptied = [
                    t.end
                    for t in making.tasks.get(wash.after, [])
                    if not alone or t.load == task.load
                ]
                if emptied:
                    _in_time(facts, wash, task.id, max(emptied), task.start)
                count = _filled(making, wash, task.load if alone else None)
                if task.quantity.dimension is not Dimension.COUNT or task.quantity.base != count:
                    facts.broken(
                        "washed",
                        task.id,
                        f"is of {task.quantity}; {Quantity.of(count, Dimension.COUNT)} were filled",
                    )


def _in_time(facts: Facts, wash: Wash, where: str, emptied: int, start: int) -> None:
    washed = wash.kind.washed
    if start < emptied:
        what = f"starts {facts.at(start)}, {wash.kind.id} is empty {facts.at(emptied)}"
        facts.broken("washed", where, what, emptied - start)
    elif washed is not None and start - emptied > washed.within:
        facts.broken(
            "washed",
            where,
            f"starts {lasting(start - emptied)} after {wash.kind.id} is empty, "
            f"limit {lasting(washed.within)}",
            start - emptied - washed.within,
        )


def _filled(making: Making, wash: Wash, load: int | None) -> int:
    """How many containers were filled: by one load, or by all."""
    total = 0
    for step, _, need in wash.needs:
        tasks = making.tasks.get(step, [])
        sizes = [t.quantity for t in tasks if load is None or t.load == load]
        if not tasks:
            sizes = [making.batch.quantity]
        for size in sizes:
            filled = so_many(size, need.per, making.component) if need.per else need.amount
            total += filled or 0
    return total

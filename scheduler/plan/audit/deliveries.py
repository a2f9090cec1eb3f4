"""Deliveries: what a step takes has arrived when it starts, and enough of it."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.plan.audit.amounts import measure

if TYPE_CHECKING:
    from scheduler.domain.week import Delivery
    from scheduler.plan.audit.facts import Facts

Taking = tuple[int, str, Quantity]
"""When a task starts, which, and how much it takes."""


def check(facts: Facts) -> None:
    """Rule `delivery`: at every start, all taken so far is in house or has arrived."""
    entries: dict[str, list[Delivery]] = defaultdict(list)
    for delivery in facts.scenario.week.deliveries:
        entries[delivery.ingredient].append(delivery)
    takings = _takings(facts, set(entries))
    for ingredient, arriving in entries.items():
        _supplied(facts, ingredient, arriving, sorted(takings[ingredient], key=lambda t: t[:2]))


def _takings(facts: Facts, gated: set[str]) -> dict[str, list[Taking]]:
    found: dict[str, list[Taking]] = defaultdict(list)
    for making in facts.makings.values():
        for stage in making.to_come:
            if making.running(stage):
                continue
            for take in stage.takes:
                if take.ingredient not in gated or take.ingredient is None:
                    continue
                each = take.amount.base / (take.yield_.part if take.yield_ else 1)
                for task in making.of(stage):
                    size = measure(task.quantity, making.dimension, making.component)
                    of = (size or Fraction(0)) * each
                    if making.component is not None:
                        of /= making.component.makes.base
                    found[take.ingredient].append(
                        (task.start, task.id, Quantity.of(of, take.amount.dimension))
                    )
    return found


def _supplied(
    facts: Facts, ingredient: str, arriving: list[Delivery], takings: list[Taking]
) -> None:
    clock = facts.scenario.clock
    at_once = arriving[0].in_house
    supply = sorted(((clock.minute(d.at), d.quantity) for d in arriving), key=lambda s: s[0])
    taken: dict[Dimension, Fraction] = defaultdict(Fraction)
    for start, where, amount in takings:
        taken[amount.dimension] += amount.base
        here = [q for minute, q in supply if minute <= start]
        if None in here:
            continue
        there = [q for q in (at_once, *here) if q and q.dimension is amount.dimension]
        has = sum((q.base for q in there), Fraction(0))
        if taken[amount.dimension] > has:
            later = [minute for minute, _ in supply if minute > start]
            soon = f"; more arrives {facts.at(later[0])}" if later else ""
            facts.broken(
                "delivery",
                where,
                f"by {facts.at(start)} {Quantity.of(taken[amount.dimension], amount.dimension)} "
                f"of {ingredient} are taken, {Quantity.of(has, amount.dimension)} have come{soon}",
            )

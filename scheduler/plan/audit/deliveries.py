"""Deliveries: what a step takes has arrived when it starts, is still good, and is enough."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.plan.audit.amounts import A_UNIT, measure
from scheduler.plan.audit.crates import counted, takes_of
from scheduler.plan.audit.facts import lasting

if TYPE_CHECKING:
    from scheduler.domain.week import Delivery
    from scheduler.plan.audit.facts import Facts

Taking = tuple[int, str, Quantity]
"""When a task starts, which, and how much it takes."""


def check(facts: Facts) -> None:
    """Rules `delivery` and `use-by`.

    What stands somewhere or has a limit: no more is taken than has come, and
    before the limit. Of all else, at every start all that is taken so far is
    in house or has arrived.
    """
    entries: dict[str, list[Delivery]] = defaultdict(list)
    for delivery in facts.scenario.week.deliveries:
        entries[delivery.ingredient].append(delivery)
    takings = _takings(facts, set(entries))
    for ingredient, arriving in entries.items():
        wanted = sorted(takings[ingredient], key=lambda t: t[:2])
        parts = _parts(facts, arriving, {where for _, where, _ in wanted})
        left = [
            (start, where, Quantity.of(max(Fraction(0), q.base - parts[where]), q.dimension))
            for start, where, q in wanted
        ]
        _supplied(facts, ingredient, arriving, left)


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


def _parts(
    facts: Facts, arriving: list[Delivery], takers: set[str]
) -> dict[str, Fraction]:
    """By task, what it takes of deliveries that stand somewhere or have a limit."""
    found: dict[str, Fraction] = defaultdict(Fraction)
    for delivery in arriving:
        if not counted(delivery) or delivery.quantity is None:
            continue
        parts = takes_of(facts, delivery)
        taken = Fraction(0)
        for part in parts:
            taken += part.quantity.base
            where = part.consumer or ""
            task = facts.tasks.get(where)
            if where not in takers or part.quantity.dimension is not delivery.quantity.dimension:
                what = f"takes {part.quantity} of {delivery.id}, which is not in its recipe"
                facts.broken("use-by", where or delivery.id, what)
            elif task is not None:
                found[where] += part.quantity.base
                _in_time(facts, delivery, where, task.start)
        if taken - delivery.quantity.base >= A_UNIT * max(1, len(parts)):
            taken_in_all = Quantity.of(taken, delivery.quantity.dimension)
            what = f"{taken_in_all} are taken of it, {delivery.quantity} come"
            facts.broken("use-by", delivery.id, what)
    return found


def _in_time(facts: Facts, delivery: Delivery, where: str, start: int) -> None:
    came = facts.scenario.clock.minute(delivery.at)
    if start < came:
        facts.broken(
            "delivery",
            where,
            f"starts {facts.at(start)}, and {delivery.id} comes {facts.at(came)}",
        )
    elif delivery.at_most is not None and start > came + delivery.at_most:
        facts.broken(
            "use-by",
            where,
            f"starts {facts.at(start)}, {lasting(start - came)} after {delivery.id} has come; "
            f"limit {lasting(delivery.at_most)}",
        )


def _supplied(
    facts: Facts, ingredient: str, arriving: list[Delivery], takings: list[Taking]
) -> None:
    clock = facts.scenario.clock
    at_once = arriving[0].in_house
    plain = [d for d in arriving if not counted(d)]
    supply = sorted(
        ((clock.minute(d.at), d.quantity, d.at_most) for d in plain), key=lambda s: s[0]
    )
    taken: dict[Dimension, Fraction] = defaultdict(Fraction)
    for start, where, amount in takings:
        taken[amount.dimension] += amount.base
        here = [(minute, q, most) for minute, q, most in supply if minute <= start]
        if any(q is None and (most is None or start <= m + most) for m, q, most in here):
            continue
        there = [q for q in (at_once, *(q for _, q, _ in here))
                 if q and q.dimension is amount.dimension]  # fmt: skip
        has = sum((q.base for q in there), Fraction(0))
        if taken[amount.dimension] > has:
            later = [minute for minute, _, _ in supply if minute > start]
            soon = f"; more arrives {facts.at(later[0])}" if later else ""
            stale = any(q is None for _, q, _ in here)
            facts.broken(
                "use-by" if stale else "delivery",
                where,
                f"by {facts.at(start)} {Quantity.of(taken[amount.dimension], amount.dimension)} "
                f"of {ingredient} are taken, {Quantity.of(has, amount.dimension)} have come"
                f"{' and are still good' if stale else ''}{soon}",
            )

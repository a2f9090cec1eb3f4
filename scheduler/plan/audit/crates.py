"""What is delivered and takes room or has a limit: from its arrival to the task that takes it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Quantity
from scheduler.plan.audit.amounts import A_UNIT, up
from scheduler.plan.audit.expecting import Expected, Place, about

if TYPE_CHECKING:
    from scheduler.domain.week import Delivery
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.model import PlannedHold


def counted(delivery: Delivery) -> bool:
    """Must the plan say which task takes what of it?"""
    has_limit = delivery.at_most is not None
    return delivery.quantity is not None and (delivery.shelves is not None or has_limit)


def arrived(facts: Facts, delivery: Delivery) -> frozenset[int]:
    """The minute from which it stands there: on arrival, or when planning begins."""
    at = max(facts.scenario.clock.minute(delivery.at), facts.now)
    return frozenset((at, up(at, facts.grid)))


def takes_of(facts: Facts, delivery: Delivery) -> list[PlannedHold]:
    """What the plan's tasks take of it."""
    return [h for h in facts.plan.holds if h.kind == "delivered" and h.source == delivery.id]


def crates(facts: Facts) -> Iterator[Expected]:
    """Each part of a delivery until its task starts, and what nobody takes until its limit."""
    for delivery in facts.deliveries.values():
        if not counted(delivery) or delivery.quantity is None:
            continue
        came = arrived(facts, delivery)
        parts = takes_of(facts, delivery)
        if min(came) > facts.horizon:
            continue
        for part in parts:
            task = facts.tasks.get(part.consumer or "")
            if task is not None:
                yield _waits(delivery, "delivered", part.consumer, came, frozenset((task.start,)),
                             part.quantity.base)  # fmt: skip
        spare = delivery.quantity.base - sum((p.quantity.base for p in parts), Fraction(0))
        until = facts.horizon
        if delivery.at_most is not None:
            until = min(until, facts.scenario.clock.minute(delivery.at) + delivery.at_most)
        if facts.missing:
            # What a batch that is left out would have taken is nobody's.
            said = [h for h in facts.plan.holds if (h.kind, h.source) == ("spare", delivery.id)]
            spare = min(spare, sum((h.quantity.base for h in said), Fraction(0)))
        if spare >= A_UNIT and delivery.shelves:
            yield _waits(delivery, "spare", None, came, about(facts, until), spare)


def _waits(
    delivery: Delivery,
    kind: str,
    consumer: str | None,
    starts: frozenset[int],
    ends: frozenset[int],
    amount: Fraction,
) -> Expected:
    quantity = delivery.quantity or Quantity.parse("1 piece")
    place: Place = (None, 0)
    if delivery.shelves is not None:
        place = delivery.zone, ceil(delivery.shelves * amount / quantity.base)
    return Expected(
        (kind, delivery.id, None, 1, consumer), starts, ends, amount, quantity.dimension, None,
        (place,), consumers=(consumer,) if consumer else (),
    )  # fmt: skip

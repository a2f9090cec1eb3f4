"""Where things go before any planning: shares, by-products, and what is delivered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.workload.amounts import written

if TYPE_CHECKING:
    from scheduler.domain.quantity import Quantity
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.model import Workload


@dataclass(frozen=True, slots=True)
class Part:
    """What goes to one dish of one event (all its waves and diets), or to one component.

    Attributes
    ----------
    event : str or None
        None where it goes into a component.
    maker : str
        The dish or component that takes it.
    """

    event: str | None
    maker: str
    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Given:
    """What a batch gives by the way: who takes it, and what is poured away (none: nothing)."""

    component: str
    quantity: Quantity
    parts: tuple[Part, ...]
    spare: Quantity | None


@dataclass(frozen=True, slots=True)
class Delivered:
    """A delivery that stands on shelves or has a limit of its own: who takes it, and the rest."""

    id: str
    ingredient: str
    parts: tuple[Part, ...]
    spare: Quantity | None
    until: int | None


def parts_of(
    scenario: Scenario, workload: Workload, source: str, given: str | None = None
) -> tuple[Part, ...]:
    """Who takes from a batch or a lot; with `given` of a by-product of it."""
    batches, sums = workload.batch, dict[tuple[str | None, str], int]()
    dimension = None
    for s in workload.shares:
        if s.source == source and (s.component if s.given else None) == given:
            consumer = batches[s.consumer]
            key = (consumer.event, consumer.dish or consumer.component or "")
            sums[key] = sums.get(key, 0) + s.quantity
            dimension = scenario.component[s.component].makes.dimension
    if dimension is None:
        return ()
    return tuple(Part(*key, written(total, dimension)) for key, total in sums.items())


def given_by(scenario: Scenario, workload: Workload, batch: str) -> tuple[Given, ...]:
    """What a batch gives by the way."""
    found = []
    for one in workload.by_products:
        if one.batch == batch:
            dimension = scenario.component[one.component].makes.dimension
            spare = one.quantity - one.used
            found.append(
                Given(
                    one.component, written(one.quantity, dimension),
                    parts_of(scenario, workload, batch, one.component),
                    written(spare, dimension) if spare > 0 else None,
                )
            )
    return tuple(found)


def delivered(scenario: Scenario, workload: Workload, compiled: Compiled) -> tuple[Delivered, ...]:
    """Deliveries that stand on shelves or have a limit, in the order of the week."""
    records = {r.id: r for r in compiled.tasks}
    found = []
    for delivery in scenario.week.deliveries:
        holds = [h for h in compiled.holds if h.source == delivery.id]
        if not holds:
            continue
        sums: dict[tuple[str | None, str], int] = {}
        for hold in holds:
            if hold.consumer is not None:
                batch = workload.batch[records[hold.consumer].batch]
                key = (batch.event, batch.dish or batch.component or "")
                sums[key] = sums.get(key, 0) + hold.quantity
        dimension = holds[0].dimension
        spare = sum(h.quantity for h in holds if h.consumer is None)
        most = delivery.at_most
        found.append(
            Delivered(
                delivery.id, delivery.ingredient,
                tuple(Part(*key, written(q, dimension)) for key, q in sums.items()),
                written(spare, dimension) if spare else None,
                None if most is None else scenario.clock.minute(delivery.at) + most,
            )
        )
    return tuple(found)

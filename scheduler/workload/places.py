"""Equipment and stores as resources, and the needs of steps and visits as uses of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.workload.amounts import ceil_of, convert
from scheduler.workload.builder import Builder
from scheduler.workload.compiled import Holder, Occupied
from scheduler.workload.primitives import Option, Point, Resource

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.quantity import Dimension, Quantity
    from scheduler.domain.recipes import Component, Need


@dataclass(frozen=True, slots=True)
class Wanted:
    """One use a need comes to.

    Attributes
    ----------
    amount : int
        Of the resource's capacity.
    places : int
        As the plan shows it, in the kind's measure.
    """

    options: tuple[Option, ...]
    amount: int
    places: int


def add_resources(b: Builder) -> None:
    """A resource for every counted kind, every other unit, and every store.

    A kind that is shut while it runs takes one task at a time.
    """
    for kind in b.scenario.kitchen.equipment:
        units = b.kinds.each[kind.id]
        if b.kinds.counted[kind.id]:
            total = sum(u.capacity or 1 for u in units)
            index = _add(b, kind.id, total, kind, Holder(kind.id, units=tuple(u.id for u in units)))
            b.unit.update({u.id: index for u in units})
            continue
        for unit in units:
            holder = Holder(kind.id, unit=unit.id)
            b.unit[unit.id] = _add(b, unit.id, unit.capacity or 1, kind, holder)
    for store in b.scenario.kitchen.stores:
        b.store[store.id] = len(b.resources)
        b.resources.append(Resource(store.id, store.shelves))
        b.holders.append(Holder(store=store.id))


def _add(b: Builder, name: str, capacity: int, kind: Equipment, holder: Holder) -> int:
    if kind.shut_while_running or kind.fill or any(u.fill for u in b.kinds.each[kind.id]):
        capacity = len(holder.units) or 1
    states = b.ovens.states.get(kind.id, ())
    setup: tuple[tuple[int, ...], ...] | None = None
    initial: tuple[int, ...] = ()
    if kind.heat is not None and states:
        setup = b.ovens.setup(kind.id, kind.heat, b.grid)
        initial = b.ovens.initial(kind.id, kind.heat, b.calendar.now_minute, b.grid)
    b.resources.append(Resource(name, capacity, states, setup, initial))
    b.holders.append(holder)
    return len(b.resources) - 1


def places(amount: int, per: Quantity | None, load: int, of: Dimension, c: Component | None) -> int:
    """`amount`, or one for every `per` of the load, rounded up."""
    if per is None:
        return amount
    return ceil_of(convert(load, of, per.dimension, c) / per.base)


def shelves_for(
    per: Quantity | None, quantity: int, of: Dimension, component: Component | None
) -> int:
    """ceil(quantity / per shelf); one shelf in all where nothing is said."""
    return places(1, per, quantity, of, component)


def wanted(
    b: Builder, need: Need, load: int, dimension: Dimension, component: Component | None
) -> list[Wanted]:
    """The uses one need comes to, each with its options.

    A kind with a `fill` is taken whole, by a unit that the load fits; units
    of capacity 1 that are not counted are taken one by one.
    """
    amount = places(need.amount, need.per, load, dimension, component)
    if need.equipment is None:
        stores = [s for s in b.scenario.kitchen.stores if s.zone == need.zone]
        return [Wanted(tuple(Option(b.store[s.id]) for s in stores), amount, amount)]
    kind, units = b.kinds.of(need.equipment)
    if any(u.fill is not None for u in units):
        fitting = [
            u
            for u in units
            if u.fill is None
            or convert(u.fill.base, u.fill.dimension, dimension, component) >= load
        ]
        options = _options(b, kind, [u.id for u in fitting or units], need)
        return [Wanted(options, 1, 1)]
    if b.kinds.counted[kind.id]:
        whole = kind.shut_while_running
        return [Wanted(_options(b, kind, [units[0].id], need), 1 if whole else amount, amount)]
    if b.kinds.spreads(kind.id) and amount > 1:
        options = _options(b, kind, [u.id for u in units], need)
        return [Wanted(options, 1, 1)] * amount
    large = [u.id for u in units if (u.capacity or 1) >= amount] or [u.id for u in units]
    whole = kind.shut_while_running
    return [Wanted(_options(b, kind, large, need), 1 if whole else amount, amount)]


def _options(b: Builder, kind: Equipment, units: list[str], need: Need) -> tuple[Option, ...]:
    states = (
        b.ovens.candidates(kind.id, need.setting) if kind.heat is not None else (None,)
    )
    resources = dict.fromkeys(b.unit[u] for u in units)
    return tuple(Option(r, s) for r in resources for s in states)


def take(
    b: Builder,
    batch: int,
    number: int,
    uses: list[Wanted],
    start: Point,
    end: Point,
) -> list[Occupied]:
    """Uses of a need from one point to another, as they will be shown."""
    taken: list[Occupied] = []
    for want in uses:
        if want.options:
            use = b.add_use(batch, want.options, want.amount, start, end)
            taken.append(Occupied(number, use, want.places, start, end))
    return taken


def store_options(b: Builder, zone: str, only: str | None = None) -> tuple[Option, ...]:
    """Stores of a zone (or the one that is named)."""
    return tuple(
        Option(b.store[s.id])
        for s in b.scenario.kitchen.stores
        if s.zone == zone and only in (None, s.id)
    )

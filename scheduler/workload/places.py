"""Equipment and stores as resources, and the needs of steps and visits as uses of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Dimension
from scheduler.workload.amounts import ceil_of, convert
from scheduler.workload.builder import Builder
from scheduler.workload.compiled import Holder, Occupied
from scheduler.workload.primitives import Clean, Option, Point, Resource
from scheduler.workload.sorts import ANY, Sort, both

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.quantity import Quantity
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
    tray : Sort
        Its family of trays.
    room : bool
        Whether goods beside it matter.
    shut : bool
        Whether the door stays shut.
    """

    options: tuple[Option, ...]
    amount: int
    places: int
    tray: Sort = ANY
    room: bool = False
    shut: bool = False


def add_resources(b: Builder) -> None:
    """A resource for every counted kind, every other unit, and every store."""
    for kind in b.scenario.kitchen.equipment:
        units = b.kinds.each[kind.id]
        _, small = b.kinds.trays.get(kind.id, ({}, {}))
        places = {u.id: small.get(u.id, 1 if u.fill else u.capacity or 1) for u in units}
        if b.kinds.counted[kind.id]:
            names = tuple(u.id for u in units)
            index = _add(b, kind.id, sum(places.values()), kind, Holder(kind.id, units=names))
            b.unit.update({u.id: index for u in units})
            continue
        for unit in units:
            holder = Holder(kind.id, unit=unit.id)
            b.unit[unit.id] = _add(b, unit.id, places[unit.id], kind, holder)
    for store in b.scenario.kitchen.stores:
        b.store[store.id] = len(b.resources)
        b.resources.append(Resource(store.id, store.shelves))
        b.holders.append(Holder(store=store.id))


def _add(b: Builder, name: str, capacity: int, kind: Equipment, holder: Holder) -> int:
    states = b.ovens.states.get(kind.id, ())
    setup: tuple[tuple[int, ...], ...] | None = None
    initial: tuple[int, ...] = ()
    clean = b.residues.clean(b, kind)
    if kind.heat is not None and states:
        setup = b.ovens.setup(kind.id, kind.heat, b.grid)
        initial = b.ovens.initial(kind.id, kind.heat, b.calendar.now_minute, b.grid)
        if clean is not None:
            cold = b.ovens.from_cold(kind.id, kind.heat, b.grid)
            setup = _cleaned_and_heated(clean, setup, cold)
            residues = len(setup) // len(cold)
            states, initial = states * residues, initial * residues
    elif clean is not None:
        setup = tuple(tuple(clean.length * here for here in row) for row in clean.after)
    b.resources.append(Resource(name, capacity, states, setup, initial, clean))
    b.holders.append(holder)
    return len(b.resources) - 1


def _cleaned_and_heated(
    clean: Clean, setup: tuple[tuple[int, ...], ...], cold: tuple[int, ...]
) -> tuple[tuple[int, ...], ...]:
    """Between two states that are a residue and a setting each.

    As between the settings; where it is cleaned length + max(that, from cold), as nothing is
    cleaned hot. Never shorter by way of a third state.
    """
    many = len(setup)

    def gap(s: int, t: int) -> int:
        change = setup[s % many][t % many]
        return clean.length + max(change, cold[t % many]) if clean.after[s][t] else change

    every = range(len(clean.after))
    return tuple(tuple(gap(s, t) for t in every) for s in every)


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
        return [Wanted(tuple(Option(b.store[s.id]) for s in stores), amount, amount, room=True)]
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
        alone = len(b.kinds.each[kind.id]) > 1
        return [_wanted(b, kind, need, [units[0].id], amount, alone)]
    if b.kinds.spreads(kind.id) and amount > 1:
        options = _options(b, kind, [u.id for u in units], need)
        return [Wanted(options, 1, 1)] * amount
    large = [u.id for u in units if b.kinds.size(u, need.tray) >= amount]
    return [_wanted(b, kind, need, large or [u.id for u in units], amount)]


def wanted_by_duty(b: Builder, need: Need) -> list[Wanted]:
    """The uses of a need without a load: a machine that takes one load is taken whole."""
    kind, units = b.kinds.of(need.equipment or "")
    if any(u.fill is not None for u in units):
        return [Wanted(_options(b, kind, [u.id for u in units], need), 1, 1)]
    return wanted(b, need, 1, Dimension.COUNT, None)


def _wanted(
    b: Builder, kind: Equipment, need: Need, units: list[str], amount: int, alone: bool = False
) -> Wanted:
    """So many places of one of some units; `alone`: each unit is one place, with no neighbours."""
    weight, _ = b.kinds.trays.get(kind.id, ({}, {}))
    return Wanted(
        _options(b, kind, units, need),
        amount * weight.get(need.tray or "", 1),
        amount,
        b.sorts.tray(kind.id, need.tray),
        kind.shared_air and not alone,
        (kind.shut_while_running or need.door_shut) and not alone,
    )


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
    made = b.made_in(batch)
    for want in uses:
        if want.options:
            options = want.options
            if made is not None and b.residues.states:
                options = b.residues.stated(options, made, b)
            sort = both(want.tray, b.sort(batch)) if want.room else want.tray
            use = b.add_use(batch, options, want.amount, start, end, 0, sort, want.shut)
            taken.append(Occupied(number, use, want.places, start, end))
    return taken


def store_options(b: Builder, zone: str, only: str | None = None) -> tuple[Option, ...]:
    """Stores of a zone (or the one that is named)."""
    return tuple(
        Option(b.store[s.id])
        for s in b.scenario.kitchen.stores
        if s.zone == zone and only in (None, s.id)
    )

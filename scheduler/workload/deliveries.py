"""Deliveries: when enough of an ingredient is there for each step that takes it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.workload.amounts import ceil_of
from scheduler.workload.builder import first
from scheduler.workload.compiled import HoldRecord
from scheduler.workload.model import PLATING
from scheduler.workload.places import store_options
from scheduler.workload.primitives import Point

if TYPE_CHECKING:
    from scheduler.domain.week import Delivery
    from scheduler.workload.builder import Builder


@dataclass(frozen=True, slots=True)
class Draw:
    """One kitchen task that takes an ingredient."""

    latest: int
    batch: str
    step: str
    load: int
    amount: Fraction


def add_gates(b: Builder) -> None:
    """Earliest (and latest) start of every task that takes what is delivered.

    Tasks in order of latest start draw on in_house + what has arrived; each
    may start when the supply covers what it and those before it take, and
    must start before what it takes is past its limit. Of two ways of dealing
    the lots out the better is taken (`_dealt`).
    """
    entries: dict[str, list[Delivery]] = {}
    for delivery in b.scenario.week.deliveries:
        entries.setdefault(delivery.ingredient, []).append(delivery)
    if not entries:
        return
    draws = _draws(b, set(entries))
    for ingredient, deliveries in entries.items():
        _gate(b, ingredient, deliveries, sorted(
            draws.get(ingredient, []), key=lambda d: (d.latest, d.batch, d.step, d.load)
        ))


def _draws(b: Builder, wanted: set[str]) -> dict[str, list[Draw]]:
    found: dict[str, list[Draw]] = {}
    units = {d.ingredient: d.quantity or d.in_house for d in b.scenario.week.deliveries}

    def note(
        ingredient: str, batch: str, step: str, load: int, latest: int, amount: Fraction
    ) -> None:
        found.setdefault(ingredient, []).append(Draw(latest, batch, step, load, amount))

    for batch in b.work.batches:
        maker = b.maker(batch)
        makes = b.scenario.component[batch.component].makes.base if batch.component else 1
        for stage in batch.stages:
            for take in () if stage.running else stage.step.takes:
                if take.ingredient in wanted:
                    unit = units[take.ingredient]
                    if unit is not None and unit.dimension is not take.amount.dimension:
                        b.complaints.add(
                            f"{maker.id}, {stage.step.id}",
                            f"takes '{take.amount}' of {take.ingredient}, which is delivered as "
                            f"'{unit}'",
                        )
                    part = take.amount.base / makes / (take.yield_.part if take.yield_ else 1)
                    for load, quantity in enumerate(stage.loads):
                        note(
                            take.ingredient, batch.id, stage.step.id, load, stage.latest,
                            part * quantity,
                        )
        if batch.dish is not None:
            for take in b.scenario.dish[batch.dish].takes:
                if take.ingredient in wanted:
                    part = take.amount.base / (take.yield_.part if take.yield_ else 1)
                    note(
                        take.ingredient, batch.id, PLATING, 0, batch.plating or 0,
                        part * batch.quantity,
                    )
    return found


def _gate(b: Builder, name: str, deliveries: list[Delivery], draws: list[Draw]) -> None:
    lots, dealt, _ = min(
        (_dealt(b, deliveries, draws, sooner) for sooner in (False, True)), key=lambda d: d[2]
    )
    for draw, parts in dealt:
        need, earliest, latest = draw.amount, b.calendar.now, b.calendar.horizon
        key = (draw.batch, draw.step, draw.load)
        for lot, some in parts:
            need -= some
            earliest = max(earliest, lot.at)
            latest = latest if lot.by is None else min(latest, lot.by)
            if lot.delivery is not None:
                lot.used += ceil_of(some)
                b.drawn.append((lot.delivery, key, ceil_of(some)))
        if need > 0:
            earliest = b.calendar.horizon
            b.short[key] = (name, need)
        before = b.gates.get(key, (b.calendar.now, None))
        b.gates[key] = (
            max(before[0], earliest),
            min(
                (x for x in (before[1], latest) if x is not None and x < b.calendar.horizon),
                default=None,
            ),
        )
    for lot in lots:
        if lot.delivery is not None and lot.delivery.quantity is not None:
            b.spared[lot.delivery.id] = int(lot.delivery.quantity.base) - lot.used


Dealt = list[tuple[Draw, list[tuple["_Lot", Fraction]]]]


def _dealt(
    b: Builder, deliveries: list[Delivery], draws: list[Draw], sooner: bool
) -> tuple[list[_Lot], Dealt, tuple[Fraction, int, int]]:
    """What every task takes of which lot, and how bad that is.

    `sooner`: what is good for the shortest first, though a task must begin
    sooner for it. Bad is first what is lacking, then lots that cannot be had
    together or come after a task's latest start, then by how much tasks must
    begin sooner than they need.
    """
    lots = _lots(b, deliveries)
    dealt: Dealt = []
    lacking, never, hurried = Fraction(0), 0, 0
    for draw in draws:
        parts = _drawn(b, lots, draw, sooner)
        dealt.append((draw, parts))
        latest = draw.latest // b.grid
        comes = max((lot.at for lot, _ in parts), default=0)
        by = min((lot.by for lot, _ in parts if lot.by is not None), default=b.calendar.horizon)
        lacking += draw.amount - sum((q for _, q in parts), Fraction(0))
        never += comes > min(latest, by)
        hurried += max(0, latest - by)
    return lots, dealt, (lacking, never, hurried)


@dataclass(slots=True)
class _Lot:
    """What is in house, or a delivery: from when, how much is left (None: enough), by when."""

    at: int
    left: Fraction | None
    by: int | None
    delivery: Delivery | None
    used: int = 0


def _lots(b: Builder, deliveries: list[Delivery]) -> list[_Lot]:
    clock = b.calendar.clock
    house = deliveries[0].in_house
    lots = [] if house is None else [_Lot(b.calendar.now, house.base, None, None)]
    for d in sorted(deliveries, key=lambda d: (clock.minute(d.at), d.id)):
        at = clock.minute(d.at)
        by = None if d.at_most is None else b.down(at + d.at_most)
        lots.append(
            _Lot(
                max(b.calendar.now, b.up(at)), d.quantity.base if d.quantity else None, by,
                d if d.shelves or d.at_most is not None else None,
            )
        )
    return lots


def _drawn(
    b: Builder, lots: list[_Lot], draw: Draw, sooner: bool
) -> list[tuple[_Lot, Fraction]]:
    """Lots that a task draws on, and how much.

    First what is there by its latest start and still good then, oldest first;
    then what is good only sooner; then what comes later. With `sooner` what is
    good for the shortest comes first of all that is there by then.
    """
    latest = draw.latest // b.grid

    def order(lot: _Lot) -> tuple[int, int]:
        if lot.at > latest:
            return 2, lot.at
        by = b.calendar.horizon if lot.by is None else lot.by
        return (0, by) if sooner else (int(by < latest), lot.at)

    need, found = draw.amount, []
    for lot in sorted(lots, key=order):
        some = need if lot.left is None else min(need, lot.left)
        if some > 0:
            found.append((lot, some))
            need -= some
            lot.left = None if lot.left is None else lot.left - some
    return found


def shelves_of(delivery: Delivery, quantity: int) -> int:
    """Shelves that a part of a delivery takes: its share of them, rounded up."""
    if delivery.quantity is None or delivery.shelves is None:
        return 0
    return ceil_of(Fraction(delivery.shelves * quantity) / delivery.quantity.base)


def add_arrivals(b: Builder) -> None:
    """The moment of every delivery that stands somewhere or has a limit, and what is spare.

    What nobody takes stands to its own limit (or to the end of the week).
    """
    clock, horizon = b.calendar.clock, b.calendar.horizon
    for d in b.scenario.week.deliveries:
        if not d.shelves and d.at_most is None:
            continue
        at = max(b.up(clock.minute(d.at)), b.calendar.now)
        if at > horizon:
            continue
        batch = b.add_batch(f"delivery/{d.id}", fixed=True)
        b.arrived[d.id] = Point(b.add_task(f"delivery/{d.id}", batch, 0, 0, at, at))
        spare = b.spared.get(d.id, 0)
        until = horizon if d.at_most is None else b.down(clock.minute(d.at) + d.at_most)
        until = min(horizon, until)
        if d.shelves and spare > 0 and until > at:
            task = b.add_task(f"delivery/{d.id}/spare", batch, until - at, until - at, at, until)
            _stands(b, d, "spare", None, spare, batch, Point(task), Point(task, True))


def add_delivered(b: Builder) -> None:
    """What each task takes of a delivery: on its shelves from arrival to the task's start."""
    for delivery, (batch, step, load), quantity in b.drawn:
        if delivery.id not in b.arrived:
            continue
        built = b.built[batch]
        task = built.task(step)[load]
        _stands(
            b, delivery, "delivered", task.id, quantity, built.index, b.arrived[delivery.id],
            first(task),
        )


def _stands(
    b: Builder,
    delivery: Delivery,
    kind: str,
    consumer: str | None,
    quantity: int,
    batch: int,
    start: Point,
    end: Point,
) -> None:
    use, shelves = None, shelves_of(delivery, quantity)
    options = store_options(b, delivery.zone) if delivery.zone is not None else ()
    dimension = delivery.quantity.dimension if delivery.quantity is not None else None
    if options and shelves:
        grace = b.down(b.scenario.kitchen.transfer)
        sort = b.sorts.goods((delivery.ingredient,))
        use = b.add_use(batch, options, shelves, start, end, grace, sort)
    if dimension is not None:
        b.holds.append(
            HoldRecord(
                kind, delivery.id, None, 1, consumer, quantity, dimension, start, end, shelves, use
            )
        )

"""What waits after a batch is done: shares, early loads, leftovers, lots on hand."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.workload.builder import first, last
from scheduler.workload.chains import order_ends
from scheduler.workload.compiled import HoldRecord
from scheduler.workload.in_hand import wanted_band
from scheduler.workload.places import shelves_for, store_options
from scheduler.workload.primitives import HORIZON_END, HORIZON_START, Band, Option, Point
from scheduler.workload.steps import law_of

if TYPE_CHECKING:
    from scheduler.domain.quantity import Quantity
    from scheduler.domain.recipes import Component
    from scheduler.domain.week import OnHand
    from scheduler.workload.builder import Builder, Built
    from scheduler.workload.model import LotUse, WorkShare

START = Point(HORIZON_START)
END = Point(HORIZON_END)


def add_shares(b: Builder) -> None:
    """Every share: links of its clock, and its shelves until the consumer starts."""
    for share in b.work.shares:
        if share.lot:
            _from_lot(b, share)
        else:
            _from_batch(b, share)
            consumer = b.built[share.consumer]
            if consumer.batch.component is not None:
                b.inputs.setdefault(consumer.index, set()).add(b.built[share.source].index)
    for built in b.built.values():
        if built.batch.component is not None:
            _early_loads(b, built)
            _leftover(b, built)


def where_kept(b: Builder, component: Component) -> tuple[tuple[Option, ...], Quantity | None]:
    """Stores a component may stand in, and how much goes on a shelf; no stores: at the bench.

    The first way of keeping rules; others are offered where their limit and
    their footprint are the same (`Exposing.offered`).
    """
    rule = component.keeps[0]
    zones = [z for z in b.exposing.offered(component) if z is not None]
    return tuple(o for z in zones for o in store_options(b, z)), rule.per_shelf if zones else None


def _hold(
    b: Builder,
    record: HoldRecord,
    batch: int,
    component: Component,
    options: tuple[Option, ...],
    per_shelf: Quantity | None,
) -> None:
    """Note a hold, with a use of shelves where it needs one."""
    if options:
        shelves = shelves_for(per_shelf, record.quantity, record.dimension, component)
        use = b.add_use(
            batch, options, shelves, record.start, record.end,
            b.down(b.scenario.kitchen.transfer), b.sorts.goods((component.id,)),
        )
        record = replace(record, shelves=shelves, use=use)
    b.holds.append(record)


def _from_batch(b: Builder, share: WorkShare) -> None:
    """not_before <= consumer's first start - ready; last start - first load out <= limit.

    Age costs weight × minutes outside the best band, from the first load out
    to the consumer's last start. Where the food decides, the limit is shorter
    by (planned length - at_least). `within` tightens it.
    """
    source, consumer = b.built[share.source], b.built[share.consumer]
    component = b.component(source.batch)
    assert component is not None
    stage, tasks = source.stages[-1]
    if share.given is not None:
        component = b.scenario.component[share.component]
        stage, tasks = next(s for s in source.stages if s[0].step.id == share.given)
    users = consumer.task(share.step)
    order_ends(b, source, tasks)
    keep = component.keeps[0]
    shorter = max(law_of(b, source, stage.step, t.quantity).waits_less(b.grid) for t in tasks)
    if shorter > keep.at_most:
        b.complaints.add(
            component.id,
            f"it keeps {keep.at_most} min, but {stage.step.id} is set aside {shorter} min longer "
            "than it may take, so nothing of that is left",
            "a longer hold, or a shorter range",
        )
    limit = keep.at_most - shorter
    if share.within is not None:
        limit = min(limit, share.within)
    least, most = b.up(keep.not_before), b.down(limit)
    band = wanted_band(b, source, stage.step, tasks[0].quantity, keep, component.weight)
    if len(tasks) == 1 and len(users) == 1:
        b.link(last(tasks[0]), first(users[0]), least, most, band)
    else:
        b.link(last(tasks[-1]), first(users[0]), least)
        b.link(last(tasks[0]), first(users[-1]), None, most, band)
    options, per_shelf = where_kept(b, component)
    # The first of a by-product has no hold of its own as early loads have: it waits from there.
    out = last(tasks[-1] if share.given is None else tasks[0])
    _hold(
        b,
        HoldRecord(
            "share", share.source, share.given, 1, users[-1].id, share.quantity,
            component.makes.dimension, out, first(users[-1]), 0,
            by_product=component.id if share.given else None,
        ),
        source.index, component, options, per_shelf,
    )


def _from_lot(b: Builder, share: WorkShare) -> None:
    """made + not_before <= consumer's start <= made + limit, and age as for a batch."""
    lot = next(x for x in b.scenario.week.on_hand if x.id == share.source)
    consumer, component = b.built[share.consumer], b.scenario.component[share.component]
    users = consumer.task(share.step)
    made = b.calendar.clock.minute(lot.made)
    keep = component.keeps[0]
    limit = keep.at_most if share.within is None else min(keep.at_most, share.within)
    low, high = keep.best()
    if first(users[0]) != first(users[-1]):
        b.link(START, first(users[0]), b.up(made + keep.not_before))
    b.link(
        START, first(users[-1]), b.up(made + keep.not_before), b.down(made + limit),
        Band(low + made, high + made, component.weight),
    )
    options, per_shelf = _stands(b, lot, component)
    _hold(
        b,
        HoldRecord(
            "share", lot.id, None, 1, users[-1].id, share.quantity, component.makes.dimension,
            START, first(users[-1]), 0,
        ),
        consumer.index, component, options, per_shelf,
    )


def _stands(
    b: Builder, lot: OnHand, component: Component
) -> tuple[tuple[Option, ...], Quantity | None]:
    """The store a lot stands in, and its footprint there."""
    if lot.store is None:
        return (), None
    zone = b.scenario.store[lot.store].zone
    keep = next((k for k in component.keeps if k.zone == zone), component.keeps[0])
    return (Option(b.store[lot.store]),), keep.per_shelf


def add_spare(b: Builder, use: LotUse) -> None:
    """What nobody takes of a lot: on its shelves to its limit, then reported."""
    if use.spare <= 0:
        return
    lot = next(x for x in b.scenario.week.on_hand if x.id == use.lot)
    component = b.scenario.component[use.component]
    made, now = b.calendar.clock.minute(lot.made), b.calendar.now
    end = min(b.calendar.horizon, b.down(made + component.keeps[0].at_most))
    if end <= now:
        return
    batch = b.add_batch(lot.id, fixed=True)
    task = b.add_task(f"{lot.id}:spare", batch, end - now, end - now, now, end)
    options, per_shelf = _stands(b, lot, component)
    _hold(
        b,
        HoldRecord(
            "spare", lot.id, None, 1, None, use.spare, use.dimension, Point(task),
            Point(task, True), 0,
        ),
        batch, component, options, per_shelf,
    )


def _early_loads(b: Builder, built: Built) -> None:
    """Early loads of the last step stand from their own end to the last load's."""
    component = b.component(built.batch)
    stage, tasks = built.stages[-1]
    if component is None or len(tasks) < 2:
        return
    order_ends(b, built, tasks)
    options, per_shelf = where_kept(b, component)
    for task in tasks[:-1]:
        _hold(
            b,
            HoldRecord(
                "loads", built.batch.id, stage.step.id, task.load, tasks[-1].id, task.quantity,
                built.batch.dimension, last(task), last(tasks[-1]), 0,
            ),
            built.index, component, options, per_shelf,
        )


def _leftover(b: Builder, built: Built) -> None:
    """A leftover that is kept: on its shelves from ready to the end of the week."""
    component = b.component(built.batch)
    if component is None or component.leftover != "kept" or built.batch.leftover <= 0:
        return
    _, tasks = built.stages[-1]
    order_ends(b, built, tasks)
    options, per_shelf = where_kept(b, component)
    _hold(
        b,
        HoldRecord(
            "leftover", built.batch.id, None, 1, None, built.batch.leftover,
            built.batch.dimension, last(tasks[-1]), END, 0,
        ),
        built.index, component, options, per_shelf,
    )

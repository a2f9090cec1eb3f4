"""Dishes: plating, the first plate away, diets before the others, and who goes short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.amounts import ceil_of
from scheduler.workload.builder import first, last
from scheduler.workload.compiled import HoldRecord, TaskRecord, VisitRecord
from scheduler.workload.hands import all_through
from scheduler.workload.model import PLATING
from scheduler.workload.places import shelves_for, store_options, take, wanted
from scheduler.workload.primitives import Band, Plate, Point
from scheduler.workload.sharing import as_written
from scheduler.workload.walk import plating_length

if TYPE_CHECKING:
    from scheduler.workload.builder import Builder, Built


def add_plating(b: Builder, built: Built) -> None:
    """The plating of a dish batch: ceil(60 × portions / per_hour), hands all the way."""
    batch = built.batch
    dish = b.scenario.dish[batch.dish or ""]
    length = plating_length(dish, batch.quantity, b.grid) // b.grid
    name = f"{batch.id}/{PLATING}"
    earliest, by = b.gates.get((batch.id, PLATING, 0), (None, None))
    latest = None if by is None else min(b.calendar.horizon, by + length)
    task = b.add_task(f"{name}:run", built.index, length, length, earliest, latest)
    record = TaskRecord(
        name, batch.id, PLATING, 1, 1, batch.quantity, batch.dimension, {"run": task}
    )
    crew = all_through(
        b, task, as_written(b, dish.plating.hands, dish.section, dish.plating.on)
    )
    record.visits.append(VisitRecord("hands", crew, task, 0, "plate"))
    for n, need in enumerate(dish.plating.on):
        record.taken += take(
            b, built.index, n, wanted(b, need, batch.quantity, batch.dimension, None),
            first(record), last(record),
        )
    b.records.append(record)
    built.plating = record


def service_point(b: Builder, built: Built) -> Point:
    """The first plate away as a fixed moment, one for each moment of an event."""
    batch = built.batch
    tick = b.down(batch.service or 0)
    name = f"service/{batch.event}/{tick * b.grid}"
    if name not in b.batch_index:
        index = b.add_batch(name, fixed=True)
        b.add_task(name, index, 0, 0, tick, tick)
    return Point(b.batches[b.batch_index[name]][1][0])


def add_service(b: Builder, built: Built) -> None:
    """Plating against the first plate away T.

    Without `keeps` plating starts at T; with it length <= T - start <=
    at_most, shelves from plating's start to T, weight 1 outside the best
    band. A diet's plating ends before the others' starts, without `keeps` by
    diets_ahead at most.
    """
    batch, plating = built.batch, built.plating
    assert plating is not None
    dish = b.scenario.dish[batch.dish or ""]
    away, start = service_point(b, built), first(plating)
    length = b.tasks[start.task].least
    if dish.keeps is not None:
        keep = dish.keeps
        b.link(
            start, away, max(length, b.up(keep.not_before)), b.down(keep.at_most),
            Band(*keep.best(), 1),
        )
        _plated(b, built, start, away)
    elif batch.diet is None:
        b.link(start, away, 0, 0)
    if batch.diet is not None:
        main = b.built.get(batch.main or "")
        begins = first(main.plating) if main is not None and main.plating is not None else away
        most = b.down(b.scenario.kitchen.diets_ahead) if dish.keeps is None else None
        b.link(last(plating), begins, 0, most)
        if begins != away:
            # The others may be left out; a diet is ready for the first plate all the same.
            ahead = None if most is None else most + _length_ahead(b, main)
            b.link(last(plating), away, 0, ahead)


def _length_ahead(b: Builder, main: Built | None) -> int:
    """So much before the first plate the others' plating may start, ticks."""
    if main is None or main.plating is None:
        return 0
    keep = b.scenario.dish[main.batch.dish or ""].keeps
    return 0 if keep is None else b.down(keep.at_most)


def _plated(b: Builder, built: Built, start: Point, away: Point) -> None:
    """A plated dish waits from the start of plating to the first plate away."""
    batch = built.batch
    keep = b.scenario.dish[batch.dish or ""].keeps
    assert keep is not None
    use, shelves = None, 0
    options = store_options(b, keep.zone) if keep.zone is not None else ()
    if options:
        shelves = shelves_for(keep.per_shelf, batch.quantity, batch.dimension, None)
        use = b.add_use(
            built.index, options, shelves, start, away, b.down(b.scenario.kitchen.transfer),
            b.sorts.batch(batch),
        )
    b.holds.append(
        HoldRecord(
            "plated", batch.id, None, 1, None, batch.quantity, batch.dimension, start, away,
            shelves, use,
        )
    )


def add_plates(b: Builder) -> None:
    """Who goes short when a batch is left out: min(portions, ceil(share / one portion's))."""
    short: dict[str, dict[int, int]] = {}
    for share in b.work.shares:
        if not share.lot and share.portion:
            lacks = short.setdefault(share.consumer, {})
            source = b.built[share.source].index
            lacks[source] = max(lacks.get(source, 0), ceil_of(share.quantity / share.portion))
    for built in b.built.values():
        batch = built.batch
        if batch.dish is None:
            continue
        portions = batch.quantity
        lacks = {i: min(portions, n) for i, n in short.get(batch.id, {}).items()}
        lacks[built.index] = portions
        b.plates.append(Plate(batch.rank, built.index, tuple(sorted(lacks.items()))))

"""Deliveries: when enough of an ingredient is there for each step that takes it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

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
    may start when the supply covers what it and those before it take. What
    keeps only so long is used first come, first taken.
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
    clock, horizon = b.calendar.clock, b.calendar.horizon
    arrivals = sorted(deliveries, key=lambda d: (clock.minute(d.at), d.id))
    lots: list[tuple[int, Fraction | None, int | None]] = []
    house = deliveries[0].in_house
    if house is not None:
        lots.append((b.calendar.now, house.base, None))
    for d in arrivals:
        at = clock.minute(d.at)
        by = None if d.at_most is None else b.down(at + d.at_most)
        lots.append((max(b.calendar.now, b.up(at)), d.quantity.base if d.quantity else None, by))
    place, left = 0, lots[0][1] if lots else Fraction(0)
    for draw in draws:
        need, earliest, latest = draw.amount, b.calendar.now, horizon
        while need > 0 and place < len(lots):
            at, _, by = lots[place]
            earliest = max(earliest, at)
            latest = latest if by is None else min(latest, by)
            if left is None or left >= need:
                left = None if left is None else left - need
                need = Fraction(0)
            else:
                need -= left
                place += 1
                left = lots[place][1] if place < len(lots) else Fraction(0)
        if need > 0:
            earliest = horizon
            b.short[(draw.batch, draw.step, draw.load)] = (name, need)
        key = (draw.batch, draw.step, draw.load)
        before = b.gates.get(key, (b.calendar.now, None))
        b.gates[key] = (
            max(before[0], earliest),
            min((x for x in (before[1], latest) if x is not None and x < horizon), default=None),
        )


def add_standing(b: Builder) -> None:
    """Deliveries that take shelves: from arrival to their own limit."""
    for d in b.scenario.week.deliveries:
        if d.zone is None or not d.shelves:
            continue
        at = max(b.up(b.calendar.clock.minute(d.at)), b.calendar.now)
        until = b.calendar.horizon
        if d.at_most is not None:
            until = min(until, b.down(b.calendar.clock.minute(d.at) + d.at_most))
        options = store_options(b, d.zone)
        if at >= until or not options:
            continue
        batch = b.add_batch(f"delivery/{d.id}", fixed=True)
        task = b.add_task(f"delivery/{d.id}", batch, until - at, until - at, at, until)
        b.add_use(batch, options, d.shelves, Point(task), Point(task, True))

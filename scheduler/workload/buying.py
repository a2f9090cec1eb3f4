"""What is bought in: whole packs, when it can come, and the last moment to order it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from scheduler.workload.amounts import ceil_of, convert

if TYPE_CHECKING:
    from scheduler.domain.buying import BoughtIn
    from scheduler.domain.recipes import Component
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.latest import Latest
    from scheduler.workload.model import Workload

AGO = 400
"""Days one looks back for a day on which orders are taken."""


@dataclass(frozen=True, slots=True)
class Comes:
    """One day's hours of delivery, and the last moment to order for them, minutes."""

    start: int
    end: int
    order_by: int


def packs(good: int, component: Component, bought: BoughtIn) -> int:
    """How many packs it takes to have so much: ceil(good / pack)."""
    pack = convert(bought.pack.base, bought.pack.dimension, component.makes.dimension, component)
    return max(1, ceil_of(good / pack))


def packed(count: int, component: Component, bought: BoughtIn) -> int:
    """What so many packs come to, whole base units."""
    pack = convert(bought.pack.base, bought.pack.dimension, component.makes.dimension, component)
    return int(count * pack)


def comes(scenario: Scenario, bought: BoughtIn) -> tuple[Comes, ...]:
    """Every delivery of the week that can still be ordered when planning begins.

    A night in which the clocks change its hours is left out.
    """
    clock, now = scenario.clock, scenario.clock.minute(scenario.week.plan_from)
    found = []
    for day in clock.days():
        start, end = clock.span(day, bought.hours)
        usual = end - start == bought.hours.end - bought.hours.start
        if any(day in days for days in bought.days) and usual and end <= clock.horizon:
            by = order_by(scenario, bought, start)
            if by is not None and by >= now:
                found.append(Comes(start, end, by))
    return tuple(found)


def order_by(scenario: Scenario, bought: BoughtIn, start: int) -> int | None:
    """The last moment to order what is to come at `start`.

    The latest moment of a day of orders that is not after its hour and
    lead_time before `start`.
    """
    clock, late = scenario.clock, start - bought.lead_time
    day = clock.local(late).date()
    for _ in range(AGO):
        midnight = datetime(day.year, day.month, day.day)
        if any(day in days for days in bought.order_days):
            until = midnight + timedelta(
                minutes=1440 if bought.order_before is None else bought.order_before
            )
            by = min(late, clock.minute(until))
            if by >= clock.minute(midnight):
                return by
        day -= timedelta(days=1)
    return None


def last_orders(
    scenario: Scenario, work: Workload, compiled: Compiled, latest: Latest
) -> dict[str, int]:
    """Of every batch that is or could be bought in the last moment to order it, minutes.

    So that it is there when the first of those who take it must begin at the
    latest; those for whom that is behind us are left out.
    """
    first = {(r.batch, r.step): next(iter(r.parts.values())) for r in reversed(compiled.tasks)}
    needed: dict[str, int] = {}
    for share in work.shares:
        task = first.get((share.consumer, share.step))
        if task is not None and not share.lot:
            by = latest.start[task] * compiled.problem.grid
            needed[share.source] = min(by, needed.get(share.source, by))
    found: dict[str, int] = {}
    for batch in work.batches:
        component = scenario.component.get(batch.component or "")
        if component is None or component.bought_in is None or batch.id not in needed:
            continue
        in_time = [c for c in comes(scenario, component.bought_in) if c.end <= needed[batch.id]]
        if in_time and not batch.in_progress:
            found[batch.id] = max(c.order_by for c in in_time)
    return found


def spent(scenario: Scenario, work: Workload) -> int:
    """The price of all that is bought in."""
    total = 0
    for batch in work.batches:
        bought = scenario.component[batch.component or ""].bought_in if batch.packs else None
        total += batch.packs * bought.price if bought is not None else 0
    return total

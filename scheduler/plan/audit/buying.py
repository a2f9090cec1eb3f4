"""What is bought in: ordered in time, in whole packs, at its price, delivered when it may come."""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Quantity
from scheduler.plan.audit.amounts import measure
from scheduler.plan.audit.facts import TOO_FAR
from scheduler.plan.audit.shares import amount_of

if TYPE_CHECKING:
    from datetime import date

    from scheduler.domain.buying import BoughtIn
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making
    from scheduler.plan.model import Order, PlannedTask

LONG = 500
"""Days back within which a day on which orders are taken is looked for."""


def check(facts: Facts) -> None:
    """Rule `bought`."""
    for making in facts.makings.values():
        order = making.batch.bought
        component = facts.scenario.component.get(making.batch.component or "")
        if order is None or component is None or component.bought_in is None:
            continue
        _packs(facts, making, component.bought_in, order)
        for tasks in making.tasks.values():
            for task in tasks:
                _delivered(facts, making, component.bought_in, order, task)


def spent(facts: Facts) -> int:
    """What is bought in costs so much."""
    total = 0
    for making in facts.makings.values():
        component = facts.scenario.component.get(making.batch.component or "")
        if making.batch.bought and component is not None and component.bought_in is not None:
            total += component.bought_in.price * making.batch.bought.packs
    return total


def _packs(facts: Facts, making: Making, bought: BoughtIn, order: Order) -> None:
    """packs = what its shares come to, in packs, rounded up; quantity and price follow."""
    pack = measure(bought.pack, making.dimension, making.component)
    if pack is None:
        return
    shares = facts.shares_from.get(making.id, [])
    given = sum((amount_of(facts, s) or 0 for s in shares), Fraction(0))
    needed = max(1, -(-given // pack))
    if order.packs != needed:
        facts.broken(
            "bought",
            making.id,
            f"{order.packs} packs are ordered; {Quantity.of(given, making.dimension)} in packs of "
            f"{bought.pack} are {needed}",
        )
    if making.size != int(order.packs * pack):
        facts.broken(
            "bought", making.id, f"{order.packs} packs are not {making.batch.quantity}"
        )
    if order.price != order.packs * bought.price:
        facts.broken(
            "bought",
            making.id,
            f"costs {order.packs * bought.price}, the plan says {order.price}",
        )


def _delivered(
    facts: Facts, making: Making, bought: BoughtIn, order: Order, task: PlannedTask
) -> None:
    clock = facts.scenario.clock
    if not -TOO_FAR < task.start < TOO_FAR:
        return  # outside the week, which is said elsewhere
    local = clock.local(task.start)
    if local.hour * 60 + local.minute != bought.hours.start or task.end - task.start != (
        bought.hours.end - bought.hours.start
    ):
        what = f"comes {facts.span(task.start, task.end)}; deliveries are in {bought.hours}"
        facts.broken("bought", making.id, what)
    if not any(local.date() in days for days in bought.days):
        what = f"comes {facts.at(task.start)}; deliveries are on {_said(bought.days)}"
        facts.broken("bought", making.id, what)
    past = facts.plan.past
    if past and order.order_by < past.now and all(b.id != making.id for b in past.batches):
        what = f"is to be ordered by {facts.at(order.order_by)}, and it is {facts.at(past.now)}"
        facts.broken("bought", making.id, what)
    if order.order_by < facts.now:
        what = f"is to be ordered by {facts.at(order.order_by)}, before planning begins"
        facts.broken("bought", making.id, what)
    late = _last_order(facts, bought, task.start)
    if order.order_by != late:
        said = "never" if late is None else facts.at(late)
        what = (
            f"is to be ordered by {facts.at(order.order_by)}; for {facts.at(task.start)} the last "
            f"moment is {said}"
        )
        facts.broken("bought", making.id, what)


def _last_order(facts: Facts, bought: BoughtIn, start: int) -> int | None:
    """The last moment, on a day of orders and not after its hour, lead_time before a delivery."""
    clock = facts.scenario.clock
    latest = start - bought.lead_time
    first = clock.local(latest).date()
    for day in (first - timedelta(days=n) for n in range(LONG)):
        if not any(day in days for days in bought.order_days):
            continue
        opens = clock.minute(_midnight(day))
        shuts = clock.minute(_midnight(day + timedelta(days=1)))
        if bought.order_before is not None:
            shuts = clock.minute(_midnight(day) + timedelta(minutes=bought.order_before))
        if opens <= min(latest, shuts):
            return min(latest, shuts)
    return None


def _midnight(day: date) -> datetime:
    return datetime(day.year, day.month, day.day)


def _said(days: tuple[object, ...]) -> str:
    return ", ".join(str(d) for d in days)

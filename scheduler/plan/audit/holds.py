"""Holds: everything that waits stands in the plan, where it may and on enough shelves."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from scheduler.domain.quantity import Quantity
from scheduler.plan.audit.amounts import A_UNIT, measure
from scheduler.plan.audit.expected import expected
from scheduler.plan.audit.facts import lasting

if TYPE_CHECKING:
    from scheduler.plan.audit.expecting import Expected
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.model import PlannedHold

Key = tuple[str, str, str | None, int, str | None]


def check(facts: Facts) -> None:
    """Rules `holds`, `store-zone`, `shelves` and `in-machine`."""
    there: dict[Key, list[PlannedHold]] = defaultdict(list)
    for hold in facts.plan.holds:
        there[key_of(facts, hold)].append(hold)
    asked: dict[Key, list[Expected]] = defaultdict(list)
    for one in expected(facts):
        asked[one.key].append(one)
    for key, wanted in asked.items():
        found = there.pop(key, [])
        if len(wanted) > 1:
            # Two shares of one batch to one step: the smaller hold is the smaller share.
            wanted.sort(key=lambda e: e.amount)
            found.sort(key=lambda h: h.quantity.base)
        for i, one in enumerate(wanted):
            if i < len(found):
                _match(facts, one, found[i])
            elif one.needed:
                span = facts.span(min(one.starts), max(one.ends))
                facts.broken("holds", one.where, f"waits {span}; the plan has no hold for it")
        _beyond(facts, found[len(wanted) :])
    for found in there.values():
        _beyond(facts, found)


def _beyond(facts: Facts, holds: list[PlannedHold]) -> None:
    for hold in holds:
        facts.broken(
            "holds", _name(hold), f"{facts.span(hold.start, hold.end)}: nothing waits there"
        )


def key_of(facts: Facts, hold: PlannedHold) -> Key:
    """By which a hold is found."""
    if hold.kind == "share":
        task = facts.tasks.get(hold.consumer or "")
        user = f"{task.batch}/{task.step}" if task else hold.consumer
        return hold.kind, hold.source, hold.by_product, 1, user
    if hold.kind == "delivered":
        return hold.kind, hold.source, None, 1, hold.consumer
    if hold.kind in ("wait", "loads"):
        return hold.kind, hold.source, hold.step, hold.load, None
    return hold.kind, hold.source, None, 1, None


def _name(hold: PlannedHold) -> str:
    step = f"/{hold.step}" if hold.step else ""
    step += f", {hold.by_product}" if hold.by_product else ""
    load = f", load {hold.load}" if hold.load != 1 else ""
    user = f" for {hold.consumer}" if hold.kind in ("share", "delivered") and hold.consumer else ""
    return f"{hold.kind} of {hold.source}{step}{load}{user}"


def _match(facts: Facts, one: Expected, hold: PlannedHold) -> None:
    where = _name(hold)
    if hold.start not in one.starts or hold.end not in one.ends:
        facts.broken(
            "holds",
            where,
            f"is in the plan {facts.span(hold.start, hold.end)}; by its tasks it waits "
            f"{facts.span(min(one.starts), max(one.ends))}",
        )
    if one.consumers and hold.consumer not in one.consumers:
        facts.broken("holds", where, f"ends with {hold.consumer}, not with {one.consumers[0]}")
    amount = measure(hold.quantity, one.dimension, one.of)
    if amount is None or abs(amount - one.amount) >= A_UNIT:
        right = Quantity.of(one.amount, one.dimension)
        facts.broken("holds", where, f"is of {hold.quantity}; what waits is {right}")
    if one.units:
        if hold.unit not in one.units and (hold.end > hold.start):
            facts.broken(
                "in-machine",
                where,
                f"waits in {hold.unit or 'no machine'}; it was made in {', '.join(one.units)}",
            )
    elif hold.unit is not None:
        facts.broken("holds", where, f"waits in {hold.unit}, which nothing allows")
    _place(facts, one, hold, where)


def _place(facts: Facts, one: Expected, hold: PlannedHold, where: str) -> None:
    store = facts.scenario.store.get(hold.store or "")
    if hold.store is not None and store is None:
        return
    brief = hold.end - hold.start <= facts.scenario.kitchen.transfer
    if one.store is not None and hold.store != one.store and not brief:
        facts.broken("store-zone", where, f"stands in {hold.store}, by the week in {one.store}")
        return
    zone = store.zone if store else None
    shelves = {n for z, n in one.places if z == zone} if not one.units else {0}
    if not shelves or (one.units and store):
        if brief and store is None:
            return
        zones = ", ".join(sorted({z or "the bench" for z, _ in one.places})) or "its machine"
        facts.broken(
            "store-zone",
            where,
            f"stands {f'in {store.id} ({zone})' if store else 'at the bench'} for "
            f"{lasting(hold.end - hold.start)}; it keeps in: {zones}",
        )
    elif hold.shelves not in shelves and not (brief and hold.shelves == 0):
        facts.broken(
            "shelves",
            where,
            f"counts {hold.shelves} shelves, {hold.quantity} takes "
            f"{' or '.join(map(str, sorted(shelves)))}",
        )

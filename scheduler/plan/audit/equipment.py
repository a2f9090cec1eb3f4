"""Equipment: what a step needs is taken, as much and as long, and no unit takes too much."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from scheduler.plan.audit.amounts import measure, so_many
from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.making import spreads
from scheduler.plan.audit.sweep import Span, names, overfull
from scheduler.plan.audit.taking import Wanted, carried, of_task, of_visit

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Unit
    from scheduler.domain.quantity import Quantity
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making
    from scheduler.plan.model import Taken


def check(facts: Facts) -> None:
    """Rules `equipment`, `container`, `in-machine`, `fill` and `equipment-full`."""
    for making in facts.makings.values():
        for stage in making.to_come:
            for task in making.of(stage):
                wanted = of_task(facts, making, stage, task)
                if making.running(stage) and task.load == 1:
                    wanted += carried(facts, making, task)
                _covered(facts, making, task.id, wanted, task.taken, task.quantity)
                for visit, needs in of_visit(making, stage, task):
                    where = f"{task.id}, {visit.kind} {facts.at(visit.start)}"
                    _covered(facts, making, where, needs, visit.taken, task.quantity)
    _full(facts)


def _covered(
    facts: Facts,
    making: Making,
    where: str,
    wanted: list[Wanted],
    taken: tuple[Taken, ...],
    quantity: Quantity,
) -> None:
    by_need: dict[int, list[Taken]] = defaultdict(list)
    for one in taken:
        by_need[place_of(facts, wanted, one)].append(one)
    for n, want in enumerate(wanted):
        found = by_need.pop(want.place, [])
        if any(later.place == want.place for later in wanted[n + 1 :]):  # broken off in between
            by_need[want.place] = [t for t in found if t.start >= want.end > want.start]
            found = [t for t in found if t not in by_need[want.place]]
        if want.start == want.end and not found:
            continue
        _amount(facts, making, where, want, found, quantity)
        for one in found:
            _thing(facts, making, where, want, one, quantity)
            if one.end != want.end or not want.begins(one.start):
                facts.broken(
                    want.rule,
                    where,
                    f"takes {one.unit or one.store} {facts.span(one.start, one.end)}, needs it "
                    f"{facts.span(want.start, want.end)}",
                )
    for found in by_need.values():
        for one in found:
            facts.broken(
                "equipment", where, f"takes {one.unit or one.store}, which it does not need"
            )


def place_of(facts: Facts, wanted: list[Wanted], one: Taken) -> int:
    """The need that something taken is for: the one it names, or a container still taken.

    Containers of steps done before the week have no place in the running
    step's list; they are known by their kind.
    """
    later = [w for w in wanted if w.quantity is not None]
    if later and one.unit is not None:
        for want in [w for w in wanted if w.place == one.need] + later:
            units = facts.units(want.need.equipment) if want.need.equipment else ()
            if any(u.id == one.unit for _, u in units):
                return want.place
    return one.need


def _amount(
    facts: Facts,
    making: Making,
    where: str,
    want: Wanted,
    found: list[Taken],
    quantity: Quantity,
) -> None:
    need = want.need
    name = need.equipment or f"a store, {need.zone}"
    rule = "container" if want.rule == "container" else "equipment"
    if any(t.amount <= 0 for t in found):
        facts.broken(rule, where, f"takes no place at all of {name}")
    total = sum(t.amount for t in found)
    units = facts.units(need.equipment) if need.equipment else ()
    if any(u.fill is not None for _, u in units):
        if len(found) != 1:
            facts.broken(rule, where, f"takes {len(found)} of {name}, needs one for itself")
        return
    asked = need.amount
    if need.per is not None:
        asked = so_many(want.quantity or quantity, need.per, making.component) or 0
    if total != asked:
        facts.broken(rule, where, f"takes {total} of {name}, needs {asked}")
    if len(found) > 1 and not (units and spreads(units[0][0])):
        facts.broken(rule, where, f"takes {name} in {len(found)} places; it needs one place")


def _thing(
    facts: Facts, making: Making, where: str, want: Wanted, one: Taken, quantity: Quantity
) -> None:
    need = want.need
    if need.zone is not None:
        store = facts.scenario.store.get(one.store or "")
        if one.store is None or (store is not None and store.zone != need.zone):
            facts.broken(
                "store-zone",
                where,
                f"takes {one.store or one.unit}; it needs a store of zone {need.zone}",
            )
        return
    units = {u.id: u for _, u in facts.units(need.equipment or "")}
    if one.unit not in units:
        if one.unit is None or one.unit in facts.scenario.unit:
            facts.broken(want.rule, where, f"takes {one.unit or one.store}, needs {need.equipment}")
        return
    if want.named and one.unit not in want.named:
        facts.broken("begun", where, f"takes {one.unit}; by the week it is on {want.named[0]}")
    fill = units[one.unit].fill
    size = measure(quantity, fill.dimension, making.component) if fill else None
    if fill is not None and size is not None and size > fill.base:
        facts.broken("fill", where, f"{quantity} does not fit {one.unit}, which takes {fill}")


def _full(facts: Facts) -> None:
    by_unit: dict[str, list[Span]] = defaultdict(list)
    by_kind: dict[str, list[Span]] = defaultdict(list)
    for task in facts.plan.tasks:
        for taken in (*task.taken, *(t for v in task.visits for t in v.taken)):
            known = facts.scenario.unit.get(taken.unit or "")
            if known is not None and not known[1].holds:  # trays by family: see `rooms`
                amount = places(known[1]) if known[1].fill is not None else taken.amount
                span = Span(max(taken.start, facts.now), taken.end, amount, task.id)
                by_unit[known[1].id].append(span)
                by_kind[known[0].id].append(span)
    duties = set()
    for duty, start, end, _ in facts.occurrences:
        for one in duty.equipment:
            units = facts.units(one.equipment)
            if units[0][1].holds:
                continue
            span = Span(start, end, one.amount, duty.id)
            if len(units) == 1:
                by_unit[units[0][1].id].append(span)
            by_kind[units[0][0].id].append(span)
            duties.add(units[0][0].id)
    for name, spans in by_unit.items():
        kind, unit = facts.scenario.unit[name]
        _overfull(facts, name, spans, places(unit), kind.measure)
    # Duties of a kind with several units do not say which: the kind is counted as well.
    for name in sorted(duties):
        kind, sizes = facts.scenario.equipment[name], [places(u) for _, u in facts.units(name)]
        if len(sizes) > 1:
            _overfull(facts, name, by_kind[name], sum(sizes), kind.measure)


def places(unit: Unit) -> int:
    """Places in one unit."""
    return unit.capacity or 1


def _overfull(facts: Facts, name: str, spans: list[Span], capacity: int, measured: str) -> None:
    for full in overfull(spans, capacity):
        facts.broken(
            "equipment-full",
            name,
            f"{full.most} {measured} taken {facts.span(full.start, full.end)} "
            f"({lasting(full.end - full.start)}), there are {capacity}: {names(full.who)}",
        )

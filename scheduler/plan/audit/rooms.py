"""What shares a machine or a store: doors that stay shut, trays of one family, goods apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.plan.audit.facts import lasting
from scheduler.plan.audit.sweep import Span, names, overfull
from scheduler.plan.audit.taking import written

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making


@dataclass(frozen=True, slots=True)
class Stay:
    """Something in a unit or a store: how much, behind a shut door or not, and of what."""

    start: int
    end: int
    amount: int
    who: str
    shut: bool = False
    tray: str | None = None
    goods: frozenset[str] = frozenset()


def check(facts: Facts) -> None:
    """Rules `door-shut`, `trays` and `beside`."""
    units: dict[str, list[Stay]] = defaultdict(list)
    stores: dict[str, list[Stay]] = defaultdict(list)
    for place, is_store, stay in (*_tasks(facts), *_duties(facts), *_holds(facts)):
        if stay.start < stay.end:
            (stores if is_store else units)[place].append(stay)
    apart = _apart(facts)
    for name, stays in units.items():
        known = facts.scenario.unit.get(name)
        if known is None:
            continue
        kind, unit = known
        _doors(facts, name, stays)
        if unit.holds:
            _families(facts, name, stays, unit.holds)
        if kind.shared_air:
            _neighbours(facts, name, stays, apart)
    for name, stays in stores.items():
        _neighbours(facts, name, stays, apart)


def _goods(making: Making) -> frozenset[str]:
    """What is in a batch: its component, or everything that goes into a dish."""
    if making.component is not None:
        return frozenset({making.component.id})
    takes = making.dish.inputs if making.dish else ()
    return frozenset(t.component for t in takes if t.component is not None)


def _tasks(facts: Facts) -> Iterator[tuple[str, bool, Stay]]:
    for making in facts.makings.values():
        goods = _goods(making)
        for stage in making.to_come:
            for task in making.of(stage):
                taking = [(t, stage.needs) for t in task.taken]
                for visit in task.visits:
                    word = written(stage, visit)
                    taking += [(t, word.on if word else ()) for t in visit.taken]
                for taken, needs in taking:
                    place = taken.unit or taken.store
                    need = needs[taken.need] if 0 <= taken.need < len(needs) else None
                    if place is None:
                        continue
                    known = facts.scenario.unit.get(taken.unit or "")
                    shut = known is not None and known[0].shut_while_running
                    yield place, taken.unit is None, Stay(
                        taken.start, taken.end, taken.amount, task.id,
                        shut or (need is not None and need.door_shut),
                        need.tray if need is not None else None, goods,
                    )  # fmt: skip


def _duties(facts: Facts) -> Iterator[tuple[str, bool, Stay]]:
    """Equipment of duties, where there is one unit of it."""
    for duty, start, end, name in facts.occurrences:
        for one in duty.equipment:
            units = facts.units(one.equipment)
            if len(units) == 1:
                kind, unit = units[0]
                shut = kind.shut_while_running
                yield unit.id, False, Stay(start, end, one.amount, name, shut, one.tray)


def _holds(facts: Facts) -> Iterator[tuple[str, bool, Stay]]:
    for hold in facts.plan.holds:
        if hold.store is None or hold.end - hold.start <= facts.scenario.kitchen.transfer:
            continue
        making = facts.makings.get(hold.source)
        of = facts.of_hold(hold)
        goods = frozenset({of.id} if of else ())
        if making is not None and hold.by_product is None:
            goods = _goods(making)
        goods |= {d.ingredient for d in facts.scenario.week.deliveries if d.id == hold.source}
        start = max(hold.start, facts.now)
        yield hold.store, True, Stay(start, hold.end, hold.shelves, hold.source, goods=goods)


def _doors(facts: Facts, name: str, stays: list[Stay]) -> None:
    """Nothing starts or ends strictly inside a stay behind a shut door."""
    for shut in (s for s in stays if s.shut):
        for other in stays:
            if other is shut or other.end <= shut.start or other.start >= shut.end:
                continue
            for moment, does in ((other.start, "goes in"), (other.end, "comes out")):
                if shut.start < moment < shut.end:
                    facts.broken(
                        "door-shut",
                        name,
                        f"{other.who} {does} {facts.at(moment)}, the door is shut for {shut.who} "
                        f"{facts.span(shut.start, shut.end)}",
                    )


def _families(facts: Facts, name: str, stays: list[Stay], holds: dict[str, int]) -> None:
    """One family of trays at a time, and no more of it than there is room for."""
    for i, one in enumerate(stays):
        for two in stays[i + 1 :]:
            start, end = max(one.start, two.start), min(one.end, two.end)
            if start < end and one.tray != two.tray:
                facts.broken(
                    "trays",
                    name,
                    f"{one.who} on {one.tray} and {two.who} on {two.tray} are in it together "
                    f"{facts.span(start, end)}",
                )
    for family, most in holds.items():
        spans = [Span(s.start, s.end, s.amount, s.who) for s in stays if s.tray == family]
        for full in overfull(spans, most):
            facts.broken(
                "equipment-full",
                name,
                f"{full.most} of {family} {facts.span(full.start, full.end)} "
                f"({lasting(full.end - full.start)}), it holds {most}: {names(full.who)}",
            )


def _apart(facts: Facts) -> set[tuple[str, str]]:
    """Pairs of components of which one says that it keeps away from the other, both ways."""
    pairs = {(c.id, other) for c in facts.scenario.components for other in c.not_beside}
    return pairs | {(b, a) for a, b in pairs}


def _neighbours(facts: Facts, name: str, stays: list[Stay], apart: set[tuple[str, str]]) -> None:
    """Nothing stands beside what it must keep away from, unless both hold both anyhow."""
    if not apart:
        return
    stays = [s for s in stays if s.goods]
    for i, one in enumerate(stays):
        for two in stays[i + 1 :]:
            start, end = max(one.start, two.start), min(one.end, two.end)
            if start >= end:
                continue
            met = {
                (x, y)
                for x in one.goods
                for y in two.goods
                if (x, y) in apart and not (x in two.goods and y in one.goods)
            }
            for x, y in sorted(met)[:1]:
                facts.broken(
                    "beside",
                    name,
                    f"{one.who} ({x}) and {two.who} ({y}) are in it together "
                    f"{facts.span(start, end)}",
                )

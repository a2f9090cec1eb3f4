"""Stores: no more on the shelves than there are."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from scheduler.plan.audit.sweep import Span, names, overfull

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts


def check(facts: Facts) -> None:
    """Rule `store-full`: holds, tasks and duties together, from planning on."""
    on: dict[str, list[Span]] = defaultdict(list)
    for hold in facts.plan.holds:
        if hold.store and hold.end - hold.start > facts.scenario.kitchen.transfer:
            start = max(hold.start, facts.now)
            on[hold.store].append(Span(start, hold.end, hold.shelves, hold.source))
    for task in facts.plan.tasks:
        for taken in (*task.taken, *(t for v in task.visits for t in v.taken)):
            if taken.store:
                start = max(taken.start, facts.now)
                on[taken.store].append(Span(start, taken.end, taken.amount, task.id))
    for duty, start, end, _ in facts.occurrences:
        for shelves in duty.stores:
            on[shelves.store].append(Span(start, end, shelves.shelves, duty.id))
    for name, spans in on.items():
        store = facts.scenario.store.get(name)
        if store is None:
            continue
        for full in overfull(spans, store.shelves):
            facts.broken(
                "store-full",
                name,
                f"{full.most} shelves taken {facts.span(full.start, full.end)}, there are "
                f"{store.shelves}: {names(full.who)}",
            )

"""The order in which components are worked out: consumers before what feeds them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.methods import variants

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.complaints import Complaints


def consumers_first(scenario: Scenario, complaints: Complaints) -> list[str]:
    """Components so that everything that takes one comes before it.

    What others give by the way comes after them, and what takes it before
    them. A component that takes itself (a starter) is no circle: it needs an
    earlier batch. A longer circle is a mistake.
    """
    feeds = {
        c.id: {t.component for v in variants(c) for s in v.steps for t in s.takes if t.component}
        - {c.id}
        for c in scenario.components
    }
    for giver in scenario.components:
        for given in {g.component for s in giver.steps for g in s.gives}:
            for consumer, takes in feeds.items():
                if given in takes and consumer != giver.id:
                    takes.add(giver.id)
            feeds[giver.id].add(given)
    waiting = {c: 0 for c in feeds}
    for takes in feeds.values():
        for c in takes:
            waiting[c] += 1
    ready = [c for c in feeds if waiting[c] == 0]
    order: list[str] = []
    while ready:
        at = ready.pop(0)
        order.append(at)
        for c in [c for c in feeds if c in feeds[at]]:
            waiting[c] -= 1
            if waiting[c] == 0:
                ready.append(c)
    stuck = [c for c in feeds if c not in order]
    if stuck:
        complaints.add(
            ", ".join(stuck), "they need each other, so none of them can be made first"
        )
    return order

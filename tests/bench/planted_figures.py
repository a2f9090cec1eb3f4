"""How full a planted week is, read off its plan: hands, walk-in, machines."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan

DAY = 1440


@dataclass(frozen=True, slots=True)
class Fullness:
    """How full a week is.

    Attributes
    ----------
    hands : float
        Part of everybody's time on shift, less breaks, that is spent at work.
    walk_in : float
        Shelves of the walk-in at its peak, part of what it has.
    machines : int
        Machines that are busy for more than 85 % of their busiest 24 hours
        (something is in or on it, whatever else would still go in).
    """

    hands: float
    walk_in: float
    machines: int


def fullness(scenario: Scenario, plan: Plan) -> Fullness:
    """Read the figures off a plan."""
    work = sum((v.end - v.start) * len(v.people) for t in plan.tasks for v in t.visits)
    work += sum((d.end - d.start) * len(d.people) for d in plan.duties)
    busy = [_busiest(spans) for spans in _machines(scenario, plan).values()]
    return Fullness(
        work / max(1, _on_shift(scenario)),
        _peak(scenario, plan, "walk-in") / scenario.store["walk-in"].shelves,
        sum(b > 0.85 * DAY for b in busy),
    )


def _on_shift(scenario: Scenario) -> int:
    """Minutes on shift less breaks, of everybody, from `plan_from` on."""
    clock, total = scenario.clock, 0
    first = clock.minute(scenario.week.plan_from)
    for person in scenario.kitchen.people:
        for shift in person.shifts:
            for day in clock.days():
                if day in person.off or not any(day in d for d in shift.days):
                    continue
                start, end = clock.span(day, shift.hours)
                total += max(0, end - max(first, start))
                for pause in shift.breaks:
                    a, b = clock.span(day, pause)
                    total -= max(0, b - max(a, first))
    return total


def _machines(scenario: Scenario, plan: Plan) -> dict[str, list[tuple[int, int]]]:
    """When something is on each unit; containers, which wait with what is in them, left out."""
    spans: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for task in plan.tasks:
        for taken in task.taken:
            if taken.unit is not None and scenario.unit[taken.unit][0].per_shelf is None:
                spans[taken.unit].append((taken.start, taken.end))
    return spans


def _busiest(spans: list[tuple[int, int]]) -> int:
    """Minutes in use in the busiest 24 hours."""
    joined: list[tuple[int, int]] = []
    for a, b in sorted(spans):
        if joined and a <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(b, joined[-1][1]))
        else:
            joined.append((a, b))
    starts = [a for a, _ in joined] + [b - DAY for _, b in joined]
    return max(
        (sum(max(0, min(b, s + DAY) - max(a, s)) for a, b in joined) for s in starts), default=0
    )


def _peak(scenario: Scenario, plan: Plan, store: str) -> int:
    """The most shelves taken at once."""
    spans = [
        (h.start, h.end, h.shelves)
        for h in plan.holds
        if h.store == store and h.end - h.start > scenario.kitchen.transfer
    ]
    spans += [(x.start, x.end, x.amount) for t in plan.tasks for x in t.taken if x.store == store]
    changes = sorted([(a, n) for a, _, n in spans] + [(b, -n) for _, b, n in spans])
    full = peak = 0
    for _, change in changes:
        full += change
        peak = max(peak, full)
    return peak

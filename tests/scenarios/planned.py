"""The demo, planned once, and figures read off the plan by hand."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_scenario
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, PlannedTask, PlannedVisit, Taken
from scheduler.solve.engine import plan_week

DAY = 24 * 60


@cache
def demo() -> Scenario:
    """The demo as it ships."""
    return read_scenario(find_scenario("demo"))


@cache
def told() -> tuple[Plan, ...]:
    """Every plan the engine told of, the first one first, the answer last."""
    plans: list[Plan] = []

    def tell(event: dict[str, Any]) -> None:
        if "plan" in event:
            plans.append(event["plan"])

    plans.append(plan_week(demo(), seconds=1, seed=1, deterministic=True, tell=tell))
    return tuple(plans)


def plan() -> Plan:
    """The plan of the demo."""
    return told()[-1]


def visits(of: Plan) -> list[tuple[PlannedTask, PlannedVisit]]:
    """Every visit with its task."""
    return [(task, visit) for task in of.tasks for visit in task.visits]


def taken(of: Plan) -> Iterable[Taken]:
    """Everything taken by tasks and by visits."""
    for task in of.tasks:
        yield from task.taken
        for visit in task.visits:
            yield from visit.taken


def busiest_day(of: Plan, unit: str) -> float:
    """The largest part of any 24 hours in which something is in a unit."""
    spans = sorted((t.start, t.end) for t in taken(of) if t.unit == unit)
    running: list[list[int]] = []
    for start, end in spans:
        if running and start <= running[-1][1]:
            running[-1][1] = max(running[-1][1], end)
        else:
            running.append([start, end])
    starts = [a for a, _ in running] + [b - DAY for _, b in running]
    used = (sum(max(0, min(b, s + DAY) - max(a, s)) for a, b in running) for s in starts)
    return max(used, default=0) / DAY


def peak(scenario: Scenario, of: Plan, store: str) -> int:
    """The most shelves of a store that are taken at any one moment, duties included."""
    spans = [(t.start, t.end, t.amount) for t in taken(of) if t.store == store]
    grace = scenario.kitchen.transfer
    spans += [
        (h.start, h.end, h.shelves)
        for h in of.holds
        if h.store == store and h.end - h.start > grace
    ]
    standing = {d.id: d for d in scenario.kitchen.duties}
    for duty in of.duties:
        for shelf in standing[duty.duty].stores:
            if shelf.store == store:
                spans.append((duty.start, duty.end, shelf.shelves))
    moments = {a for a, _, _ in spans}
    return max(sum(n for a, b, n in spans if a <= m < b) for m in moments)

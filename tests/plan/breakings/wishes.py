"""Breakings of what the chef says must be."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.scenario import Scenario
from scheduler.domain.wishes import Wish
from scheduler.plan.model import Plan, PlannedTask
from tests.plan.breakings.means import DAY, breaking, move, spots, with_taken, with_visit


def _musts(scenario: Scenario, plan: Plan, field: str) -> Iterator[tuple[Wish, PlannedTask]]:
    """Musts of one kind, each with the tasks it speaks of."""
    for wish in scenario.week.wishes:
        if wish.kind.startswith("must") and getattr(wish, field):
            for spot in spots(scenario, plan):
                if spot.recipe.id == wish.component and wish.step in (None, spot.task.step):
                    yield wish, spot.task


@breaking("wish")
def _somebody_else_is_at_it(scenario: Scenario, plan: Plan) -> Plan | None:
    for wish, task in _musts(scenario, plan, "person"):
        others = [p.id for p in scenario.kitchen.people if p.id != wish.person]
        for visit in task.visits if wish.kind == "must" else ():
            return with_visit(plan, task, visit, people=tuple(others[: len(visit.people)]))
    return None


@breaking("wish")
def _somebody_is_at_what_they_must_not_do(scenario: Scenario, plan: Plan) -> Plan | None:
    for wish, task in _musts(scenario, plan, "person"):
        for visit in task.visits if wish.kind == "must not" else ():
            return with_visit(plan, task, visit, people=(wish.person or "", *visit.people[1:]))
    return None


@breaking("wish")
def _in_the_other_pot(scenario: Scenario, plan: Plan) -> Plan | None:
    for wish, task in _musts(scenario, plan, "unit"):
        for taken in task.taken:
            if taken.unit == wish.unit:
                return with_taken(plan, task, taken, unit="small-pot")
    return None


@breaking("wish")
def _on_another_day(scenario: Scenario, plan: Plan) -> Plan | None:
    for _, task in _musts(scenario, plan, "days"):
        if task.visits:
            return move(plan, 3 * DAY, task)
    return None


@breaking("wish")
def _done_too_late(scenario: Scenario, plan: Plan) -> Plan | None:
    last = max((t for _, t in _musts(scenario, plan, "done_by")), key=lambda t: t.end, default=None)
    return None if last is None else move(plan, 2 * DAY, last)


@breaking("wish")
def _begun_too_early(scenario: Scenario, plan: Plan) -> Plan | None:
    for _, task in _musts(scenario, plan, "not_before"):
        return move(plan, -DAY, task)
    return None

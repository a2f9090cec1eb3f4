"""Breakings of what somebody wants to stay where it is."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Kept, Plan
from tests.plan.breakings.means import breaking


def _kept(plan: Plan, kept: Kept) -> Plan:
    return plan.model_copy(update={"kept": (*plan.kept, kept)})


@breaking("kept")
def _half_an_hour_from_where_it_was_to_stay(scenario: Scenario, plan: Plan) -> Plan | None:
    task = plan.tasks[0]
    return _kept(plan, Kept(task=task.id, start=task.start + 30))


@breaking("kept")
def _somebody_else_does_it(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        for visit in task.visits:
            others = [p.id for p in scenario.kitchen.people if p.id not in visit.people]
            return _kept(plan, Kept(task=task.id, people=(others[0],)))
    return None


@breaking("kept")
def _on_another_machine(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        for taken in task.taken:
            units = [u for u in scenario.unit if u != taken.unit] if taken.unit else []
            if units:
                return _kept(plan, Kept(task=task.id, equipment=(units[0],)))
    return None


@breaking("kept")
def _it_is_nowhere(scenario: Scenario, plan: Plan) -> Plan | None:
    return _kept(plan, Kept(task=f"{plan.tasks[0].batch}/no-such-step", start=0))

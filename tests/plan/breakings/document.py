"""Breakings of the plan as a document."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, Unserved
from tests.plan.breakings.means import (
    breaking,
    with_batch,
    with_hold,
    with_taken,
    with_task,
    with_visit,
)


@breaking("known")
def _nobody_by_that_name(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        if task.visits:
            return with_visit(plan, task, task.visits[0], people=("nobody",))
    return None


@breaking("known")
def _no_such_unit(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        if task.taken:
            return with_taken(plan, task, task.taken[0], unit="no-such-unit")
    return None


@breaking("known")
def _no_such_batch(scenario: Scenario, plan: Plan) -> Plan | None:
    return with_task(plan, plan.tasks[0], batch="no-such-batch.1")


@breaking("known")
def _no_such_step(scenario: Scenario, plan: Plan) -> Plan | None:
    return with_task(plan, plan.tasks[0], step="no-such-step")


@breaking("known")
def _no_such_store(scenario: Scenario, plan: Plan) -> Plan | None:
    return with_hold(plan, plan.holds[0], store="no-such-store") if plan.holds else None


@breaking("known")
def _no_such_dish(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        if batch.dish:
            return with_batch(plan, batch.id, dish="no-such-dish")
    return None


@breaking("once")
def _a_task_twice(scenario: Scenario, plan: Plan) -> Plan | None:
    return plan.model_copy(update={"tasks": (*plan.tasks, plan.tasks[0])})


@breaking("once")
def _a_batch_twice(scenario: Scenario, plan: Plan) -> Plan | None:
    return plan.model_copy(update={"batches": (*plan.batches, plan.batches[0])})


@breaking("left-out")
def _a_batch_quietly_dropped(scenario: Scenario, plan: Plan) -> Plan | None:
    name = plan.tasks[0].batch
    return plan.model_copy(update={"tasks": tuple(t for t in plan.tasks if t.batch != name)})


@breaking("unserved")
def _somebody_goes_short_who_does_not(scenario: Scenario, plan: Plan) -> Plan | None:
    for batch in plan.batches:
        if batch.dish and batch.event and batch.id not in {u.batch for u in plan.unserved}:
            short = Unserved(
                batch=batch.id, event=batch.event, dish=batch.dish, portions=1, lacks=(batch.dish,)
            )
            return plan.model_copy(update={"unserved": (*plan.unserved, short)})
    return None


@breaking("terms")
def _a_better_figure(scenario: Scenario, plan: Plan) -> Plan | None:
    terms = plan.terms.model_copy(update={"quality": plan.terms.quality + 1})
    return plan.model_copy(update={"terms": terms})

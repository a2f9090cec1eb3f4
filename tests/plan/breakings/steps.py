"""Breakings of steps and loads."""

from __future__ import annotations

from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan
from tests.plan.breakings.means import (
    DAY,
    breaking,
    chains,
    move,
    of_batch,
    spots,
    times,
    with_task,
)


@breaking("steps")
def _a_step_skipped(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        if len(of_batch(plan, task.batch)) > 1:
            rest = tuple(t for t in plan.tasks if t is not task)
            return plan.model_copy(update={"tasks": rest})
    return None


@breaking("steps")
def _ends_before_it_starts(scenario: Scenario, plan: Plan) -> Plan | None:
    task = plan.tasks[0]
    return with_task(plan, task, end=task.start - 60)


@breaking("loads")
def _unequal_loads(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        if task.loads > 1:
            return with_task(plan, task, quantity=times(task.quantity, 2))
    return None


@breaking("loads")
def _a_load_too_many(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        if task.loads > 1:
            return with_task(plan, task, loads=task.loads + 1)
    return None


@breaking("load-order")
def _second_load_first(scenario: Scenario, plan: Plan) -> Plan | None:
    for task in plan.tasks:
        if task.load == 2:
            first = next(t for t in of_batch(plan, task.batch) if t.step == task.step)
            return move(plan, first.start - 60 - task.start, task)
    return None


@breaking("grid")
def _a_minute_late(scenario: Scenario, plan: Plan) -> Plan | None:
    return move(plan, 1, plan.tasks[-1])


@breaking("now")
def _in_the_past(scenario: Scenario, plan: Plan) -> Plan | None:
    now = scenario.clock.minute(scenario.week.plan_from)
    for spot in spots(scenario, plan):
        if not spot.begun:
            return move(plan, now - 60 - spot.task.start, spot.task)
    return None


@breaking("inside-the-week")
def _next_week(scenario: Scenario, plan: Plan) -> Plan | None:
    return move(plan, scenario.clock.horizon, plan.tasks[-1])


@breaking("law")
def _a_day_too_long(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if spot.step is None or spot.step.time.decides.value == "we":
            return with_task(plan, spot.task, law_end=spot.task.law_end + DAY)
    return None


@breaking("law")
def _too_short(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if spot.step and spot.step.time.decides.value == "we" and spot.step.time.at_least > 0:
            return with_task(plan, spot.task, law_end=spot.task.law_start)
    return None


@breaking("it-decides")
def _only_the_shortest_set_aside(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if spot.step and spot.step.time.decides.value == "it":
            earlier = spot.task.law_end - scenario.kitchen.grid
            return with_task(plan, spot.task, law_end=earlier)
    return None


@breaking("cooling")
def _left_to_cool_all_day(scenario: Scenario, plan: Plan) -> Plan | None:
    for spot in spots(scenario, plan):
        if spot.step is not None and spot.step.cooling is not None:
            later = spot.task.end + 5 * 60
            return with_task(plan, spot.task, law_end=later, end=later)
    return None


@breaking("cooling")
def _cooled_on_hours_later(scenario: Scenario, plan: Plan) -> Plan | None:
    for one, other in chains(scenario, plan):
        if one.step and other.step and one.step.cooling and other.step.cooling:
            return move(plan, 5 * 60, other.task)
    return None

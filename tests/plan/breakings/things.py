"""Breakings of by-products, of what is delivered and of what is washed."""

from __future__ import annotations

from scheduler.domain.quantity import Quantity
from scheduler.domain.scenario import Scenario
from scheduler.domain.washing import wash_step
from scheduler.plan.model import Plan, PlannedTask
from tests.plan.breakings.means import breaking, move, times, with_hold, with_share, with_task


def _washing(scenario: Scenario, plan: Plan) -> PlannedTask | None:
    return next((t for t in plan.tasks if wash_step(scenario, t.step) is not None), None)


@breaking("by-product")
def _of_a_step_that_gives_none(scenario: Scenario, plan: Plan) -> Plan | None:
    for share in plan.shares:
        if share.by_product:
            steps = [t.step for t in plan.tasks if t.batch == share.source]
            other = next(s for s in steps if s != share.given)
            return with_share(plan, share, share.model_copy(update={"given": other}))
    return None


@breaking("by-product")
def _more_than_the_step_gives(scenario: Scenario, plan: Plan) -> Plan | None:
    for share in plan.shares:
        if share.by_product:
            more = share.model_copy(update={"quantity": times(share.quantity, 20)})
            return with_share(plan, share, more)
    return None


@breaking("use-by")
def _used_past_its_limit(scenario: Scenario, plan: Plan) -> Plan | None:
    for delivery in scenario.week.deliveries:
        for hold in plan.holds:
            if hold.source == delivery.id and hold.kind == "delivered" and delivery.at_most:
                task = next(t for t in plan.tasks if t.id == hold.consumer)
                late = scenario.clock.minute(delivery.at) + delivery.at_most
                return move(plan, late + scenario.kitchen.grid - task.start, task)
    return None


@breaking("use-by")
def _more_than_has_come(scenario: Scenario, plan: Plan) -> Plan | None:
    for hold in plan.holds:
        if hold.kind == "delivered":
            return with_hold(plan, hold, quantity=times(hold.quantity, 50))
    return None


@breaking("delivery")
def _taken_from_nothing_that_has_come(scenario: Scenario, plan: Plan) -> Plan | None:
    for hold in plan.holds:
        if hold.kind == "delivered":
            nothing = Quantity.of(1, hold.quantity.dimension)
            return with_hold(plan, hold, quantity=nothing)
    return None


@breaking("shelves")
def _crates_on_too_few_shelves(scenario: Scenario, plan: Plan) -> Plan | None:
    for hold in plan.holds:
        if hold.kind == "delivered" and hold.shelves:
            return with_hold(plan, hold, shelves=hold.shelves + 1)
    return None


@breaking("washed")
def _washed_while_still_full(scenario: Scenario, plan: Plan) -> Plan | None:
    task = _washing(scenario, plan)
    if task is None:
        return None
    begun = min(t.start for t in plan.tasks if t.batch == task.batch)
    return move(plan, begun - task.start, task)


@breaking("washed")
def _left_dirty_for_days(scenario: Scenario, plan: Plan) -> Plan | None:
    task = _washing(scenario, plan)
    return None if task is None else move(plan, 3 * 1440, task)


@breaking("washed")
def _one_is_forgotten(scenario: Scenario, plan: Plan) -> Plan | None:
    task = _washing(scenario, plan)
    if task is None:
        return None
    return with_task(plan, task, quantity=times(task.quantity, 3))


@breaking("steps")
def _never_washed(scenario: Scenario, plan: Plan) -> Plan | None:
    task = _washing(scenario, plan)
    if task is None:
        return None
    return plan.model_copy(update={"tasks": tuple(t for t in plan.tasks if t is not task)})


@breaking("container")
def _taken_only_until_it_is_empty(scenario: Scenario, plan: Plan) -> Plan | None:
    wash = _washing(scenario, plan)
    if wash is None:
        return None
    for task in plan.tasks:
        for taken in task.taken:
            if task.batch == wash.batch and taken.end == wash.end:
                shorter = taken.model_copy(update={"end": wash.start})
                rest = tuple(shorter if t is taken else t for t in task.taken)
                return with_task(plan, task, taken=rest)
    return None

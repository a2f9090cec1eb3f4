"""Last calls: the latest moment each batch can be begun, whatever else is planned."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.domain.methods import BOUGHT
from scheduler.plan.waiting import LastCall
from scheduler.workload.buying import last_orders
from scheduler.workload.compile import compile_week
from scheduler.workload.latest import latest_starts
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan


def last_calls(scenario: Scenario, plan: Plan | None = None) -> list[LastCall]:
    """Latest first start by windows of every batch that has still to be begun, in time order.

    A later start breaks a hold, a rest or a service even in an otherwise
    empty kitchen. What certainly cannot be made, or is for nothing else, is
    not among them: there is nothing left to be in time for. With a plan, of
    its batches, made or bought in as it says. What is bought in must be
    ordered by then; what could be has the last moment for that as well.
    """
    past = plan.past if plan is not None else None
    work = work_out(scenario, chosen=chosen_in(plan) if plan is not None else None, past=past)
    compiled = compile_week(scenario, work, past=past)
    begun = {task.batch for task in past.tasks} if past is not None else set()
    problem = compiled.problem
    latest = latest_starts(scenario, work, compiled)
    batches = {
        b
        for b, batch in enumerate(problem.batches)
        if not batch.fixed and b not in latest.hopeless
    }
    calls: dict[str, LastCall] = {}
    for record in compiled.tasks:
        first = next(iter(record.parts.values()))
        if record.began is not None or record.batch in begun:
            continue
        if problem.tasks[first].batch not in batches:
            continue
        call = LastCall(record.batch, record.step, latest.start[first] * problem.grid)
        known = calls.get(record.batch)
        if known is None or call.by < known.by:
            calls[record.batch] = call
    orders = last_orders(scenario, work, compiled, latest)
    bought = {b.id for b in work.batches if b.method == BOUGHT}
    told = []
    for call in calls.values():
        by = orders.get(call.batch)
        if call.batch not in bought:
            told.append(replace(call, order_in=by))
        else:
            told.append(call if by is None else replace(call, by=by))
    return sorted(told, key=lambda c: (c.by, c.batch))


def chosen_in(plan: Plan) -> dict[str, str]:
    """How the batches of a plan are made, where not by the recipe's own steps."""
    ways = {b.id: BOUGHT if b.bought is not None else b.method for b in plan.batches}
    return {batch: way for batch, way in ways.items() if way is not None}

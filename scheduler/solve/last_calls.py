"""Last calls: the latest moment each batch can be begun, whatever else is planned."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.waiting import LastCall
from scheduler.workload.compile import compile_week
from scheduler.workload.latest import latest_starts
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario


def last_calls(scenario: Scenario) -> list[LastCall]:
    """Latest first start by windows of every batch that has still to be begun, in time order.

    A later start breaks a hold, a rest or a service even in an otherwise
    empty kitchen. What certainly cannot be made, or is for nothing else, is
    not among them: there is nothing left to be in time for.
    """
    work = work_out(scenario)
    compiled = compile_week(scenario, work)
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
        if record.began is not None or problem.tasks[first].batch not in batches:
            continue
        call = LastCall(record.batch, record.step, latest.start[first] * problem.grid)
        known = calls.get(record.batch)
        if known is None or call.by < known.by:
            calls[record.batch] = call
    return sorted(calls.values(), key=lambda c: (c.by, c.batch))

"""Last calls: the latest moment each batch can be begun."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.waiting import LastCall
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario


def last_calls(scenario: Scenario) -> tuple[LastCall, ...]:
    """The last call of every batch of a component that is not begun yet, soonest first."""
    calls = [
        LastCall(batch.id, batch.stages[0].step.id, batch.stages[0].latest)
        for batch in work_out(scenario).batches
        if batch.component is not None and batch.stages and not batch.in_progress
    ]
    return tuple(sorted(calls, key=lambda c: (c.by, c.batch)))

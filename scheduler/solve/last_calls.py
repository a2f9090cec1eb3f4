"""Last calls: the latest moment each batch can be begun."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.waiting import LastCall
from scheduler.workload.certificates import certify
from scheduler.workload.compile import compile_week
from scheduler.workload.windows import windows
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario


def last_calls(scenario: Scenario) -> tuple[LastCall, ...]:
    """The last call of every batch of a component that is not begun yet, soonest first.

    It is the latest start of the batch's first step by the windows of the
    week: links, ranges and shifts are looked at, what else is going on is not.
    Batches that cannot work at all are left out of the reckoning.
    """
    workload = work_out(scenario)
    compiled = compile_week(scenario, workload)
    hopeless = {m.batch for m in certify(scenario, workload, compiled)}
    bounds = windows(compiled.problem, [compiled.batch[b] for b in sorted(hopeless)])
    if bounds.stuck is not None or bounds.cycle:
        return ()
    makes = {b.id for b in workload.batches if b.component is not None and not b.in_progress}
    first: dict[str, LastCall] = {}
    for record in compiled.tasks:
        if record.batch in makes - hopeless and record.batch not in first:
            begins = min(bounds.latest[task] for task in record.parts.values())
            by = begins * compiled.problem.grid
            first[record.batch] = LastCall(record.batch, record.step, by)
    return tuple(sorted(first.values(), key=lambda c: (c.by, c.batch)))

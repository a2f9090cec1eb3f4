"""Last calls: the latest moment each batch can be begun, whatever else is planned."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.domain.methods import BOUGHT
from scheduler.plan.waiting import LastCall
from scheduler.workload.buying import last_order
from scheduler.workload.compile import compile_week
from scheduler.workload.latest import latest_starts
from scheduler.workload.work import work_out

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan
    from scheduler.workload.compiled import Compiled
    from scheduler.workload.latest import Latest
    from scheduler.workload.model import Workload


def last_calls(scenario: Scenario, plan: Plan | None = None) -> list[LastCall]:
    """Latest first start by windows of every batch that has still to be begun, in time order.

    A later start breaks a hold, a rest or a service even in an otherwise
    empty kitchen. What certainly cannot be made, or is for nothing else, is
    not among them: there is nothing left to be in time for. With a plan, of
    its batches, made or bought in as it says. What is bought in must be
    ordered by then; what could be has the last moment for that as well.
    """
    work = work_out(scenario, chosen=chosen_in(plan) if plan is not None else None)
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
    offers = Offers(scenario, work, compiled, latest)
    told = [offers.told(call) for call in calls.values()]
    return sorted(told, key=lambda c: (c.by, c.batch))


def chosen_in(plan: Plan) -> dict[str, str]:
    """How the batches of a plan are made, where not by the recipe's own steps."""
    ways = {b.id: BOUGHT if b.bought is not None else b.method for b in plan.batches}
    return {batch: way for batch, way in ways.items() if way is not None}


class Offers:
    """The last moments to order what may be bought in."""

    def __init__(
        self, scenario: Scenario, work: Workload, compiled: Compiled, latest: Latest
    ) -> None:
        self.scenario = scenario
        self.work = work.batch
        first = {
            (r.batch, r.step): next(iter(r.parts.values()))
            for r in reversed(compiled.tasks)
        }
        self.needed: dict[str, int] = {}
        for share in work.shares:
            task = first.get((share.consumer, share.step))
            if task is not None and not share.lot:
                by = latest.start[task] * compiled.problem.grid
                self.needed[share.source] = min(by, self.needed.get(share.source, by))

    def told(self, call: LastCall) -> LastCall:
        """A last call with what there is to say of ordering."""
        batch = self.work[call.batch]
        component = self.scenario.component.get(batch.component or "")
        offer = component.bought_in if component is not None else None
        if offer is None or call.batch not in self.needed:
            return call
        by = last_order(self.scenario, offer, self.needed[call.batch])
        if batch.method != BOUGHT:
            return replace(call, order_in=by)
        return call if by is None else replace(call, by=by)

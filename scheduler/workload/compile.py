"""From what must be made to the primitives that engines understand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.amounts import NoConversion
from scheduler.workload.barred import add_bars
from scheduler.workload.builder import Builder, Built
from scheduler.workload.calm import calm_of
from scheduler.workload.chains import add_all_needs, add_stages, add_waits
from scheduler.workload.compiled import Compiled
from scheduler.workload.cooling import add_cooling
from scheduler.workload.dates import add_dates
from scheduler.workload.deliveries import add_arrivals, add_delivered, add_gates
from scheduler.workload.duties import add_duties
from scheduler.workload.exposure import add_exposure
from scheduler.workload.holds import add_shares, add_spare
from scheduler.workload.in_hand import add_quiet
from scheduler.workload.leaving import add_breaks
from scheduler.workload.past import add_past
from scheduler.workload.places import add_resources
from scheduler.workload.plates import add_plates, add_plating, add_service, service_point
from scheduler.workload.staying import add_kept
from scheduler.workload.washes import add_washes
from scheduler.workload.wishes import add_wishes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.domain.scenario import Scenario
    from scheduler.domain.staying import Staying
    from scheduler.plan.model import Past
    from scheduler.workload.model import Workload


def compile_week(
    scenario: Scenario,
    workload: Workload,
    kept: Sequence[Staying] = (),
    past: Past | None = None,
) -> Compiled:
    """A week as primitives.

    Fixed batches come first (services, duties, what is spare or delivered),
    then the workload's in its own order, consumers before what feeds them.

    Parameters
    ----------
    kept : sequence of Staying
        Tasks that stay where somebody wants them.
    past : Past, optional
        What had happened, where it is planned anew in the middle of the week.

    Raises
    ------
    BadInput
        For ranges, waits and limits that leave nothing on the grid, and for
        what can be seen to be wrong whatever the times: a kept task that is
        not there, or not by these people, or not on this unit.
    """
    b = Builder(scenario, workload, [unit for keep in kept for unit in keep.equipment])
    if past is not None:
        b.broken_off = {one.task: one for one in past.broken_off}
        b.been = {
            t.id: b.down(t.stopped) - b.down(t.law_start)
            for t in past.tasks if t.stopped is not None
        }  # fmt: skip
        b.ordered = frozenset(one.id for one in past.batches), past.now
        b.calendar.excuse({one.person: one.end for one in past.away}, past.now)
    try:
        _fixed(b, past)
        _batches(b)
        add_shares(b)
        add_delivered(b)
        add_plates(b)
        add_quiet(b)
        add_bars(b)
        add_wishes(b)
        add_dates(b)
        add_cooling(b)
        add_exposure(b)
        b.kept = add_kept(b, kept)
        if past is not None:
            add_past(b, past)
        b.calm = calm_of(b)
    except NoConversion as error:
        b.complaints.add("amounts", str(error))
    b.complaints.settle()
    return Compiled(
        b.problem(), b.batch_index, tuple(b.records), tuple(b.holds), tuple(b.duties),
        tuple(b.holders), b.short, tuple(b.breaks), b.kept, past,
    )


def _fixed(b: Builder, past: Past | None) -> None:
    add_resources(b)
    for batch in b.work.batches:
        if batch.dish is not None:
            service_point(b, Built(-1, batch))
    add_duties(b, past)
    add_breaks(b)
    for lot in b.work.lots:
        add_spare(b, lot)
    add_gates(b)
    add_arrivals(b)


def _batches(b: Builder) -> None:
    for batch in b.work.batches:
        b.making = batch.component or batch.dish or ""
        built = Built(b.add_batch(batch.id), batch)
        b.built[batch.id] = built
        built.stages = [(stage, []) for stage in batch.stages]
        add_stages(b, built)
        if batch.dish is not None:
            add_plating(b, built)
        add_washes(b, built)
        add_all_needs(b, built)
        add_waits(b, built)
    for built in b.built.values():
        if built.batch.dish is not None:
            add_service(b, built)

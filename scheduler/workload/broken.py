"""A step that was broken off: a part that has been, and one that goes on later.

    run: from the end of loading until it was broken off, on what and in whose hands it was
    on: what is left of its time, on any unit and in anybody's hands that it may be in

What stands with the food all along (containers) is taken through both and the time between.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.compiled import VisitRecord
from scheduler.workload.hands import add_crew

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.domain.recipes import Need
    from scheduler.plan.model import BrokenOff
    from scheduler.workload.builder import Builder, Built
    from scheduler.workload.compiled import TaskRecord
    from scheduler.workload.primitives import Way


def been_part(
    b: Builder,
    built: Built,
    record: TaskRecord,
    broken: BrokenOff,
    able: Sequence[Way],
    within: tuple[tuple[int, int], ...] | None,
) -> int:
    """Add the part that has been (its times are fixed with all that is past).

    Returns
    -------
    int
        Ticks of the step that count as done.
    """
    been = b.been[record.id]
    task = b.add_task(f"{record.id}:run", built.index, been, been, 0, within=within)
    record.parts["run"] = task
    if able:
        record.visits.append(
            VisitRecord("hands", add_crew(b, task, tuple(able)), task, 0, record.step)
        )
    return b.down(broken.done)


def stays_with_it(b: Builder, need: Need) -> bool:
    """Is that taken through a break as well: a container?"""
    if need.equipment is None:
        return False
    return need.until is not None or b.kinds.kind_named(need.equipment).washed is not None

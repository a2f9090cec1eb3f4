"""What the record says of tasks, as setbacks: what was over sooner, or later, than planned.

No entry is unknown, which is not late: it counts as planned.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from scheduler.domain.changing import CHANGE
from scheduler.reshuffle.sense_of_tasks import gone_on
from scheduler.reshuffle.setback import Ends

if TYPE_CHECKING:
    from scheduler.reshuffle.standing import Standing


def ends_recorded(standing: Standing, done: Mapping[str, datetime]) -> tuple[Ends, ...]:
    """What a plan does not know yet of tasks that had begun by it.

    Parameters
    ----------
    done : mapping of str to datetime
        Task: when it was entered as done, by the kitchen's wall clock.

    Returns
    -------
    tuple of Ends
        Those that were over 15 minutes or more from when they should have been, as far as that
        can still matter: nothing that follows has begun.
    """
    found = []
    for name, at in sorted(done.items()):
        task, minute = standing.task.get(name), standing.clock.minute(at)
        if task is None or not standing.begun(task) or minute > standing.exactly:
            continue
        if minute <= task.law_start or abs(minute - task.end) < CHANGE:
            continue
        if not gone_on(standing, task):
            found.append(Ends(task=name, at=at))
    return tuple(found)

"""Does what is said of a task make sense: that it is over, not there yet, not begun, running?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.problems import nearest
from scheduler.domain.times import write_duration
from scheduler.plan.words import PLATING

if TYPE_CHECKING:
    from scheduler.plan.model import PlannedTask
    from scheduler.reshuffle.setback import Ends, NotBegun, NotThere
    from scheduler.reshuffle.standing import Standing

Said = Iterator[tuple[str, str]]
"""What is wrong, and what was probably meant."""
LATE = 24 * 60
"""What happened longer ago than that is refused, minutes."""


def known(standing: Standing, name: str) -> Said:
    """Is there such a task?"""
    if name not in standing.task:
        yield f"there is no task '{name}'", nearest(name, standing.task)


def running(standing: Standing, name: str) -> Said:
    """Is it running, so that it can be broken off?"""
    wrong = list(known(standing, name))
    yield from wrong
    if wrong:
        return
    task = standing.task[name]
    if task.end <= standing.exactly - LATE or not standing.begun(task):
        yield f"{name} is not running: it starts {standing.said(task.start)}", ""


def ends(standing: Standing, one: Ends) -> Said:
    """Can it be over then?"""
    wrong = list(known(standing, one.task))
    yield from wrong
    if wrong:
        return
    task, at = standing.task[one.task], standing.minute(one.at)
    if not standing.begun(task):
        yield f"it has not begun: it starts {standing.said(task.start)}", ""
    elif task.end <= standing.exactly and at <= standing.exactly and gone_on(standing, task):
        yield f"it is finished, since {standing.said(task.end)}, and what follows has begun", ""
    elif at <= task.law_start:
        yield f"{standing.said(at)} is before it began, {standing.said(task.law_start)}", ""
    elif at > standing.clock.horizon:
        yield f"{standing.said(at)} is after the week", ""
    elif task.step == PLATING and at > task.end:
        yield "nothing can be moved for plates that go out late: call it across the pass", ""


def not_there(standing: Standing, one: NotThere) -> Said:
    """Can a test of it say so?"""
    wrong = list(known(standing, one.task))
    yield from wrong
    if wrong:
        return
    task, longer = standing.task[one.task], longer_by(standing, one)
    step = standing.names.step_of(task.batch, task.step)
    test = step.test if step is not None else None
    if not standing.begun(task):
        yield f"it has not begun: it starts {standing.said(task.start)}", ""
    elif gone_on(standing, task):
        yield f"it is finished, since {standing.said(task.end)}, and what follows has begun", ""
    elif longer is None:
        yield "its recipe does not say how much longer it takes then; say it", "a length like 24 h"
    elif test is not None and test.last_call is not None and (
        task.law_end + longer - task.law_start > test.last_call
    ):
        most, end = write_duration(test.last_call), standing.said(task.law_end + longer)
        yield f"it is there {end} at the soonest, after its last call at {most}: say it is lost", ""


def longer_by(standing: Standing, one: NotThere) -> int | None:
    """So many minutes longer a step takes that is not there yet; None: nobody says."""
    task = standing.task[one.task]
    step = standing.names.step_of(task.batch, task.step)
    test = step.test if step is not None else None
    return one.longer or (test.longer if test is not None else None)


def gone_on(standing: Standing, task: PlannedTask) -> bool:
    """Has what follows in its batch begun?"""
    return any(
        other.start >= task.end and other.step != task.step and standing.begun(other)
        for other in standing.tasks_of[task.batch]
    )


def not_begun(standing: Standing, one: NotBegun) -> Said:
    """Should it have begun by now?"""
    wrong = list(known(standing, one.task))
    yield from wrong
    if wrong:
        return
    task = standing.task[one.task]
    if not standing.begun(task):
        yield f"it is not to begin before {standing.said(task.start)}: nothing is amiss", ""

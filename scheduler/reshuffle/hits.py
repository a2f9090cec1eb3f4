"""What setbacks do to work that was running: which steps are broken off, which never began."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from scheduler.plan.model import BrokenOff
from scheduler.reshuffle.sense_of_tasks import longer_by
from scheduler.reshuffle.setback import Away, Down, Ends, LostBatch, NotBegun, NotThere, Stuck

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from scheduler.plan.model import PlannedTask
    from scheduler.reshuffle.setback import Salvage, Setback
    from scheduler.reshuffle.standing import Standing


@dataclass
class Hits:
    """Work that was running, or should have been.

    Attributes
    ----------
    broken_off : dict of str to BrokenOff
    not_begun : set of str
        Tasks that should have begun by now and have not.
    ends : dict of str to int
        Tasks that have begun and are over at another minute than planned.
    lost : set of str
        Batches that are lost because a step of them was broken off.
    """

    broken_off: dict[str, BrokenOff] = field(default_factory=dict)
    not_begun: set[str] = field(default_factory=set)
    ends: dict[str, int] = field(default_factory=dict)
    lost: set[str] = field(default_factory=set)


def hits(standing: Standing, setbacks: Sequence[Setback]) -> Hits:
    """What becomes of work that had begun by now, or should have.

    On a machine that has stopped, or in the hands of somebody who has gone, a step is broken off
    at that moment; what was only being loaded has not begun, nor has what should have begun since.
    """
    found = Hits()
    for one in setbacks:
        if isinstance(one, Down) and one.left == 0:
            since = standing.minute(one.since)
            for task in _on(standing, one.what, since):
                _hit(standing, found, task, since, one.salvage)
        elif isinstance(one, Stuck):
            since = standing.minute(one.since)
            for task in _on(standing, one.what, since):
                if not _suits(standing, task, one):
                    _hit(standing, found, task, since, one.salvage)
        elif isinstance(one, Away):
            since = standing.minute(one.since)
            for task in _by(standing, one.who, since):
                _hit(standing, found, task, since, one.salvage)
        elif isinstance(one, NotBegun):
            found.not_begun.add(one.task)
        elif isinstance(one, Ends):
            found.ends[one.task] = standing.up(standing.minute(one.at))
        elif isinstance(one, NotThere):
            task, longer = standing.task[one.task], longer_by(standing, one) or 0
            found.ends[one.task] = standing.up(task.end + longer)
    _follow(standing, found)
    gone = {one.batch for one in setbacks if isinstance(one, LostBatch)} | found.lost
    found.not_begun -= {t.id for name in gone for t in standing.tasks_of.get(name, ())}
    return found


def _on(standing: Standing, unit: str, since: int) -> Iterator[PlannedTask]:
    """Tasks that had begun by now and were on a unit at a moment, or have come on it since."""
    for task in standing.plan.tasks:
        taken = (*task.taken, *(t for v in task.visits for t in v.taken))
        if standing.begun(task) and any(
            t.unit == unit and t.start < standing.now and t.end > since for t in taken
        ):
            yield task


def _suits(standing: Standing, task: PlannedTask, stuck: Stuck) -> bool:
    """Is a task in an oven at the very setting that it stays at?"""
    heat = standing.scenario.unit[stuck.what][0].heat
    mode = stuck.mode or (heat.modes[0] if heat is not None else None)
    return all(
        (t.mode, t.celsius) == (mode, stuck.celsius) for t in task.taken if t.unit == stuck.what
    )


def _by(standing: Standing, who: str, since: int) -> Iterator[PlannedTask]:
    """Tasks that had begun by now in somebody's hands, all the way or to load."""
    for task in standing.plan.tasks:
        if standing.begun(task) and any(
            who in v.people and v.kind in ("hands", "load")
            and v.start < standing.now and v.end > since
            for v in task.visits
        ):  # fmt: skip
            yield task


def _hit(
    standing: Standing, found: Hits, task: PlannedTask, since: int, said: Mapping[str, Salvage]
) -> None:
    stopped, before = standing.down(since), _done(standing, task)
    law = task.law_start if task.resumed is None else task.resumed
    if task.resumed is not None and task.resumed >= standing.now:
        return  # broken off before, and it has not gone on since
    if stopped <= law:
        if task.resumed is None:
            found.not_begun.add(task.id)
        return
    if stopped >= task.law_end:
        return
    salvage = said.get(task.id) or _by_recipe(standing, task)
    if salvage == "lost":
        found.lost.add(task.batch)
        return
    done = stopped - law + before if salvage == "elsewhere" else 0
    if task.stopped is not None:  # for the second time: the first break stays, and counts for both
        stopped = task.stopped
    found.broken_off[task.id] = BrokenOff(task=task.id, stopped=stopped, done=done)


def _by_recipe(standing: Standing, task: PlannedTask) -> Salvage | Literal["lost"]:
    """What the recipe says becomes of a step that is broken off; left out: it goes on."""
    step = standing.names.step_of(task.batch, task.step)
    if step is None or step.if_interrupted in (None, "resume"):
        return "elsewhere"
    return "lost" if step.if_interrupted == "lost" else "again"


def _done(standing: Standing, task: PlannedTask) -> int:
    past = standing.plan.past
    return next((b.done for b in past.broken_off if b.task == task.id), 0) if past else 0


def _follow(standing: Standing, found: Hits) -> None:
    """What follows in the same batch on something that is not over has not begun either."""
    open_ = {
        name: standing.task[name] for name in (*found.not_begun, *found.broken_off)
        if name in standing.task
    }  # fmt: skip
    late = {
        name: standing.task[name] for name, end in found.ends.items()
        if name in standing.task and end >= standing.now
    }  # fmt: skip
    for task in (*open_.values(), *late.values()):
        for other in standing.tasks_of[task.batch]:
            if other.start >= task.end and standing.begun(other) and other.step != task.step:
                found.not_begun.add(other.id)

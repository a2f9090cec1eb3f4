"""What each task and visit must take, and from when to when."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from scheduler.domain.quantity import Quantity
    from scheduler.domain.recipes import Need, Visit
    from scheduler.domain.washing import Wash
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import PlannedTask, PlannedVisit


@dataclass(frozen=True, slots=True)
class Wanted:
    """One need of a task or a visit.

    Attributes
    ----------
    place : int
        Place in the step's (or visit's) list of needs.
    rule : str
        What is broken when it is not taken in time: equipment, container or in-machine.
    before : int or None
        It is taken since some moment at or before this one (begun before the week).
    named : tuple of str
        Units the week says it is on.
    quantity : Quantity or None
        What fills it, where that is not the task's own quantity.
    """

    place: int
    need: Need
    start: int
    end: int
    rule: str
    before: int | None = None
    named: tuple[str, ...] = ()
    quantity: Quantity | None = None

    def begins(self, minute: int) -> bool:
        """May it be taken from this minute?"""
        if self.before is not None:
            return minute <= self.before
        return minute == self.start


def of_task(facts: Facts, making: Making, stage: Stage, task: PlannedTask) -> list[Wanted]:
    """The needs of a task, from start of loading to end of unloading.

    A container is taken to the end of the step that empties it, and until it is
    dry again where it is washed; what waits in its machine keeps all the step's
    needs until the next step starts.
    """
    found = []
    running = making.running(stage)
    waits_in_it = stage.then is not None and stage.then.in_machine
    for place, need in enumerate(stage.needs):
        end, rule = task.end, "equipment"
        wash = making.wash_of(stage, place)
        if wash is not None:
            rule, end = "container", dry_again(making, wash, task)
        elif need.until is not None:
            rule = "container"
            end = emptied(making, stage, need, task)
        elif waits_in_it:
            rule = "in-machine"
            end = goes_on(making, stage, task)
        spans = [(task.start, end)]
        if rule != "container" and task.stopped is not None and task.resumed is not None:
            spans = [(task.start, task.stopped), (task.resumed, end)]
        for start, over in spans:
            found.append(
                Wanted(
                    place,
                    need,
                    start,
                    over,
                    rule,
                    max(start, facts.now) if running else None,
                    on_it(facts, making, need) if running and start == task.start else (),
                )
            )
    return found


def on_it(facts: Facts, making: Making, need: Need) -> tuple[str, ...]:
    """The units out of the week's `on` that serve a need of what was begun."""
    if making.begun is None or need.equipment is None:
        return ()
    units = {u.id for _, u in facts.units(need.equipment)}
    return tuple(name for name in making.begun.on if name in units)


def carried(facts: Facts, making: Making, task: PlannedTask) -> list[Wanted]:
    """Containers of steps done before the week that something begun still stands in.

    They follow the running step's own needs in its list, in order of steps.
    """
    found: list[Wanted] = []
    own = len(making.stages[making.first].needs)
    for stage in making.stages[: making.first]:
        for place, need in enumerate(stage.needs):
            until = making.stage(need.until) if need.until else None
            if until is None or until.index < making.first:
                continue
            tasks = making.of(until)
            end = max((t.end for t in tasks), default=task.end)
            wash = making.wash_of(stage, place)
            if wash is not None:
                end = dry_again(making, wash, task)
            found.append(
                Wanted(
                    own + len(found),
                    need,
                    task.start,
                    end,
                    "container",
                    max(task.start, facts.now),
                    on_it(facts, making, need),
                    making.batch.quantity,
                )
            )
    return found


def goes_on(making: Making, stage: Stage, task: PlannedTask) -> int:
    """When the step after a task starts with what the task made."""
    if stage.index + 1 >= len(making.stages):
        return task.end
    other = making.stages[stage.index + 1]
    after = making.of(other)
    if making.load_by_load(stage, other):
        after = [t for t in after if t.load == task.load]
    return max((t.start for t in after), default=task.end)


def emptied(making: Making, stage: Stage, need: Need, task: PlannedTask) -> int:
    """When the container that a task fills is emptied.

    Load n with load n where every step between passes its loads on;
    otherwise with the last load.
    """
    until = making.stage(need.until or "")
    if until is None:
        return task.end
    tasks = making.of(until)
    between = making.stages[stage.index : until.index + 1]
    if stage.loads > 1 and all(making.load_by_load(a, b) for a, b in pairwise(between)):
        tasks = [t for t in tasks if t.load == task.load]
    return max((t.end for t in tasks), default=task.end)


def dry_again(making: Making, wash: Wash, task: PlannedTask) -> int:
    """When the containers that a task fills are washed and dry: its own load, or all of them."""
    tasks = making.tasks.get(wash.step.id, [])
    if making.washed_in(wash) > 1:
        tasks = [t for t in tasks if t.load == task.load]
    return max((t.end for t in tasks), default=task.end)


def of_visit(
    making: Making, stage: Stage, task: PlannedTask
) -> list[tuple[PlannedVisit, list[Wanted]]]:
    """The needs of every visit of a task, as long as it lasts."""
    found = []
    for planned in task.visits:
        visit = written(stage, planned)
        needs = [
            Wanted(i, need, planned.start, planned.end, "equipment")
            for i, need in enumerate(visit.on if visit else ())
        ]
        found.append((planned, needs))
    return found


def written(stage: Stage, visit: PlannedVisit) -> Visit | None:
    """The recipe's word for a planned visit; None for hands all the way or an unknown one."""
    step = stage.step
    if step is None:
        return None
    if visit.kind == "load":
        return step.load
    if visit.kind == "unload":
        return step.unload
    if visit.kind == "tend":
        return step.tend[0] if step.tend else None
    if visit.kind == "add" and 0 <= visit.index < len(step.add):
        return step.add[visit.index]
    return None

"""Tasks that somebody wants to stay where they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.model import Kept, PlannedTask

BY_HAND = ("load", "hands", "unload")


def check(facts: Facts) -> None:
    """Rule `kept`: a task that stays is there so, or its batch is listed as missing."""
    for kept in facts.plan.kept:
        task = facts.tasks.get(kept.task)
        if task is None:
            if kept.task.partition("/")[0] not in facts.missing:
                facts.broken("kept", kept.task, "was to stay and is not in the plan")
            continue
        for wrong in (_start, _people, _equipment):
            for what in wrong(facts, kept, task):
                facts.broken("kept", kept.task, what)


def _start(facts: Facts, kept: Kept, task: PlannedTask) -> Iterator[str]:
    if kept.start is not None and kept.start != task.start:
        yield f"was to stay at {facts.at(kept.start)}, it starts {facts.at(task.start)}"


def _people(_: Facts, kept: Kept, task: PlannedTask) -> Iterator[str]:
    """Whoever does it is of those who were named, or all of them and others."""
    if not kept.people:
        return
    visits = [v for v in task.visits if v.kind in BY_HAND] or list(task.visits)
    for visit in visits:
        if not _nested(set(visit.people), set(kept.people)):
            yield (
                f"was to stay with {_and(kept.people)}; {visit.verb or visit.kind} is done by "
                f"{_and(visit.people) or 'nobody'}"
            )


def _equipment(facts: Facts, kept: Kept, task: PlannedTask) -> Iterator[str]:
    """Kind by kind the same of units."""
    taken = [t.unit for t in (*task.taken, *(t for v in task.visits for t in v.taken))]
    of = facts.scenario.unit
    asked: dict[str, set[str]] = {}
    for unit in kept.equipment:
        kind = of[unit][0].id if unit in of else unit
        asked.setdefault(kind, set()).add(unit)
    for kind, units in asked.items():
        here = {u for u in taken if u is not None and u in of and of[u][0].id == kind}
        if not _nested(here, units):
            yield f"was to stay on {_and(sorted(units))}; it is on {_and(sorted(here)) or 'none'}"


def _nested(here: set[str], asked: set[str]) -> bool:
    """Some of those who were asked for, or all of them and others."""
    return bool(here) and (here <= asked or asked <= here)


def _and(names: Iterable[str]) -> str:
    return " and ".join(names)

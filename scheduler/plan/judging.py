"""Who looks whether something is there yet, and what for: the tests at the end of steps."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.judging import Test
from scheduler.domain.profiles import class_of
from scheduler.domain.quantity import plain
from scheduler.plan.model import PlannedTask
from scheduler.plan.words import Names

Judged = dict[tuple[str, str, int], list[str]]
"""Task, kind of visit and its start: what is looked at."""
MEASURE_PH = "measure pH"


def judged(names: Names) -> tuple[Judged, list[tuple[PlannedTask, str]]]:
    """What each visit has to judge, and what is judged when nobody's hands end the step.

    Whoever takes it out, or has had it in hands all the way, judges it; otherwise
    whoever begins the next step.
    """
    found: Judged = {}
    alone: list[tuple[PlannedTask, str]] = []
    for task in names.plan.tasks:
        step = names.step_of(task.batch, task.step)
        if step is None or step.test is None:
            continue
        said = told(step.test, ferment=_is_ferment(names, task))
        ends = [v for v in task.visits if v.kind in ("unload", "hands")]
        if ends:
            found.setdefault((task.id, ends[-1].kind, ends[-1].start), []).append(said)
            continue
        after = next(_taken_on(names, task), None)
        if after is None:
            alone.append((task, said))
        else:
            of = f"of {step.name or step.id}: {said}"
            found.setdefault(after, []).append(of)
    return found, alone


def told(test: Test, ferment: bool) -> str:
    """What is looked at, and when it is there."""
    if test.ph is None:
        return f"judge {test.measure}: {test.target}"
    said = f"{MEASURE_PH}, at most {plain(test.ph, 4)}, write it down"
    return f"{said}; it does not leave the warm otherwise" if ferment else said


def _is_ferment(names: Names, task: PlannedTask) -> bool:
    batch = names.batches.get(task.batch)
    component = names.scenario.component.get(batch.component or "") if batch else None
    known = class_of(component)
    return known is not None and known.ferment


def _taken_on(names: Names, task: PlannedTask) -> Iterator[tuple[str, str, int]]:
    """The first hands on it after a task: of the step that follows in its batch."""
    later = [t for t in names.plan.tasks if t.batch == task.batch and t.start >= task.end]
    visits = [
        (v.start, t.id, v.kind)
        for t in later
        for v in t.visits
        if v.kind in ("load", "hands")
        and (t.loads != task.loads or t.load == task.load)
        and not t.step.startswith("wash-")
    ]
    for start, name, kind in sorted(visits)[:1]:
        yield name, kind, start

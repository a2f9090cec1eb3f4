"""What is measured at a job: of what, target and tolerance, as figures and in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from scheduler.domain.celsius import write_celsius
from scheduler.domain.quantity import plain
from scheduler.domain.times import write_duration
from scheduler.plan.audit.facts import Facts
from scheduler.plan.jobs import Job
from scheduler.plan.model import PlannedTask, PlannedVisit
from scheduler.plan.probing import readings
from scheduler.plan.words import Names

Kind = Literal["core", "cooling", "pH", "look"]


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing to measure or to look at, and when it is right.

    Attributes
    ----------
    kind : str
        core, cooling (both °C), pH, or look: no figure.
    said : str
        In words.
    target : Fraction or None
    at_least : bool
        The target is the least it may be; otherwise the most.
    by : int or None
        Until when it must be so. Minute.
    held : int
        And for so long. Minutes.
    task : str
        The task it is of; mostly the job's own.
    """

    kind: Kind
    said: str
    target: Fraction | None = None
    at_least: bool = False
    by: int | None = None
    held: int = 0
    task: str = ""


def measures(
    facts: Facts, names: Names, task: PlannedTask, visit: PlannedVisit | None, job: Job
) -> tuple[Measure, ...]:
    """Everything that is measured at a job."""
    found = list(_core(names, task, visit))
    if job.note:  # with the step that cools its clock begins
        for target, by in readings(names, task):
            said = f"{write_celsius(target)} or colder by {names.clock(by)}"
            found.append(Measure("cooling", said, target, by=by, task=task.id))
    for said in job.judges:
        found.append(_judged(facts, task, said))
    return tuple(found)


def _core(names: Names, task: PlannedTask, visit: PlannedVisit | None) -> Iterator[Measure]:
    """At the core when it comes out; where nobody takes it out, whenever it is looked at last."""
    step = names.step_of(task.batch, task.step)
    if step is None or step.core is None:
        return
    last = task.visits[-1] if task.visits else None
    if visit is not last:
        return
    held = f" for {write_duration(step.core.for_)}" if step.core.for_ else ""
    said = f"core {write_celsius(step.core.at)} or hotter{held}"
    yield Measure(
        "core", said, Fraction(step.core.at), at_least=True, held=step.core.for_, task=task.id
    )


def _judged(facts: Facts, task: PlannedTask, said: str) -> Measure:
    """A test: of the job's own step, or of the one before it, which nobody takes out."""
    making = facts.makings.get(task.batch)
    for stage in making.stages if making else ():
        test = stage.step.test if stage.step is not None else None
        name = (stage.step.name or stage.step.id) if stage.step is not None else ""
        of_own = stage.id == task.step and not said.startswith("of ")
        if test is None or not (of_own or said.startswith(f"of {name}: ")):
            continue
        before = [t for t in making.of(stage) if t.load == task.load] if making else []
        of = task.id if of_own or not before else before[0].id
        if test.ph is not None:
            return Measure("pH", f"{said} (at most {plain(test.ph, 4)})"
                           if plain(test.ph, 4) not in said else said, test.ph, task=of)
        return Measure("look", said, task=of)
    return Measure("look", said, task=task.id)

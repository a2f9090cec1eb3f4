"""One change of a plan by hand, tried: what it is, what comes of it, what the audit says."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from scheduler.plan.answering import Answer, answer
from scheduler.plan.binding import Binding
from scheduler.plan.changes import Comparison
from scheduler.plan.comparing import compare
from scheduler.plan.file import Made, PlanFile, plan_text, verdicts_of
from scheduler.plan.model import Plan, PlannedTask, PlannedVisit
from scheduler.plan.moving import given_to, moved, put_on
from scheduler.plan.words import Names


@dataclass(frozen=True, slots=True)
class Try:
    """What is wanted of a task: exactly one of a start, other people, or another unit.

    Attributes
    ----------
    task : str
    start : int or None
        Minute of the week.
    visit : (str, int) or None
        Which visit is given to `people`: its kind and index.
    need : int or None
        Which need of the task is put on `unit`.
    """

    task: str
    start: int | None = None
    visit: tuple[str, int] | None = None
    people: tuple[str, ...] = ()
    need: int | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Tried:
    """The plan that a try comes to, and what the audit says of it."""

    plan: Plan
    answer: Answer


def tried(file: PlanFile, one: Try) -> Tried:
    """Try a change.

    Raises
    ------
    NotByHand
        Nobody can change that in a plan; the message says why.
    """
    scenario, plan = file.scenario, file.plan
    if one.start is not None:
        new = moved(scenario, plan, one.task, one.start)
    elif one.visit is not None:
        new = given_to(scenario, plan, one.task, one.visit, one.people)
    else:
        assert one.need is not None
        new = put_on(scenario, plan, one.task, one.need, one.unit)
    return Tried(new, answer(scenario, file.report, new))


def as_file(file: PlanFile, one: Tried) -> PlanFile:
    """A tried plan as a file of its own."""
    return PlanFile(file.scenario, one.plan, Made(), verdicts_of(one.answer.report))


def text_of(file: PlanFile, one: Tried) -> str:
    """A tried plan as it is kept."""
    new = as_file(file, one)
    return plan_text(new.plan, new.scenario, new.made, new.verdicts)


def beside(file: PlanFile, one: Tried) -> Comparison:
    """A tried plan beside the one it was made from."""
    return compare(file, as_file(file, one))


def as_kept(names: Names, one: Try) -> dict[str, Any]:
    """What of a task stays where a try is to be kept: as the book's `keep_task` takes it."""
    task = names.tasks[one.task]
    if one.start is not None:
        return {"start": names.local(one.start)}
    if one.visit is not None:
        rest = [p for v in task.visits if (v.kind, v.index) != one.visit for p in v.people]
        return {"people": list(dict.fromkeys((*one.people, *rest)))}
    rest = [t.unit for t in task.taken if t.unit and t.need != one.need]
    return {"equipment": list(dict.fromkeys((one.unit, *rest)))}


def as_it_is(names: Names, task: PlannedTask) -> dict[str, Any]:
    """All of a task that can stay: its start, its people, its units; only what it has."""
    whose = dict.fromkeys(p for v in task.visits for p in v.people)
    units = dict.fromkeys(t.unit for t in task.taken if t.unit)
    stays: dict[str, Any] = {"start": names.local(task.start)}
    if whose:
        stays["people"] = list(whose)
    if units:
        stays["equipment"] = list(units)
    return stays


def minute_of(names: Names, moment: datetime) -> int:
    """The minute of a moment on the kitchen's wall clock."""
    return names.scenario.clock.minute(moment)


def units_for(names: Names, task: PlannedTask) -> dict[int, tuple[str, ...]]:
    """Of each need of a task that is on one unit, the units it could be put on."""
    step = names.step_of(task.batch, task.step)
    found: dict[int, tuple[str, ...]] = {}
    for need in dict.fromkeys(t.need for t in task.taken if t.unit):
        taken = [t.unit or "" for t in task.taken if t.need == need]
        if len(taken) == 1:
            asked = step.on[need].equipment if step and need < len(step.on) else taken[0]
            kind = names.scenario.unit[taken[0]][0]
            known = names.scenario.units_of(asked) if asked else ()
            both = dict.fromkeys([*(u.id for _, u in known), *(u.id for u in kind.each)])
            found[need] = tuple(both)
    return found


def done_in(names: Names, task: PlannedTask, visit: PlannedVisit) -> str:
    """A visit in a line: when, what is done, whose hands."""
    step = names.step(task.batch, task.step)
    does = step if visit.kind == "hands" else visit.verb or f"{step}, {visit.kind}"
    whose = ", ".join(names.person(p) for p in visit.people)
    return f"{names.moment(visit.start)} to {names.clock(visit.end)}: {does}, {whose}"


def reach(names: Names, hangs: Binding) -> str:
    """How far a task may go by what is before and after it and by its holds, in a sentence."""
    task = names.tasks[hangs.task]
    earlier = [t.in_hand for t in hangs.before] + [h.left for h in hangs.holds if not h.ends_here]
    later = [t.in_hand for t in hangs.after] + [h.left for h in hangs.holds if h.ends_here]
    first = f"not before {names.moment(task.start - max(0, min(earlier)))}" if earlier else ""
    last = f"not after {names.moment(task.start + max(0, min(later)))}" if later else ""
    said = " and ".join(w for w in (first, last) if w)
    return f"By these it starts {said}." if said else "Nothing but hands and machines holds it."

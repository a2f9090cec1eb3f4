"""Where something is, where it goes, and what stands on its label."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from scheduler.domain.allergens import in_words, list_of
from scheduler.domain.methods import bought_keeps
from scheduler.outputs.amounts import standing
from scheduler.plan.audit.clocks import clock_of
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.making import PLATING, Making, Stage
from scheduler.plan.labels import Labels
from scheduler.plan.model import PlannedHold, PlannedTask
from scheduler.plan.words import Names, about, day_words


@dataclass(frozen=True, slots=True)
class Goes:
    """Where a result is put.

    Attributes
    ----------
    place : str
    shelves : int
    quantity : str
    until : int
        Minute.
    what_for : str
        Who takes it then; empty: nobody does.
    """

    place: str
    shelves: int
    quantity: str
    until: int
    what_for: str


def now_at(facts: Facts, names: Names, task: PlannedTask) -> tuple[str, ...]:
    """Where what goes on to a task waits until then, after the step before."""
    found = []
    for hold in facts.plan.holds:
        taker = facts.tasks.get(hold.consumer or "")
        if hold.kind != "wait" or taker is None or hold.source != task.batch:
            continue
        if taker.step == task.step and (hold.load == task.load or hold.consumer == task.id):
            found.append(standing(names, hold))
    return tuple(dict.fromkeys(found))


def goes_to(facts: Facts, names: Names, task: PlannedTask) -> tuple[Goes, ...]:
    """Where the result of a task is put; nothing where the next step follows at once."""
    found = []
    for hold in _begun(facts, task):
        taker = facts.tasks.get(hold.consumer or "")
        if taker is None:
            for_what = names.event(_event(facts, task)) if hold.kind == "plated" else ""
        elif taker.batch == task.batch:
            for_what = names.step(taker.batch, taker.step)
        else:
            for_what = names.batch(taker.batch)
        found.append(
            Goes(standing(names, hold), hold.shelves, about(hold.quantity), hold.end, for_what)
        )
    return tuple(found)


def _event(facts: Facts, task: PlannedTask) -> str:
    batch = facts.batches.get(task.batch)
    return (batch.event if batch else None) or ""


def _begun(facts: Facts, task: PlannedTask) -> Iterator[PlannedHold]:
    """The holds that begin when a task ends."""
    making = facts.makings.get(task.batch)
    last = making.stages[-1].id if making else ""
    for hold in facts.plan.holds:
        if hold.source != task.batch or hold.start >= hold.end:
            continue
        if hold.kind == "plated":  # each plate from when it is made
            begins = task.step == PLATING
        elif hold.step is not None:
            begins = hold.step == task.step and (
                hold.load == task.load or task.loads == 1 or hold.kind == "share"
            )
        else:
            begins = task.step == last
        after = hold.start >= task.end if task.loads == 1 else hold.start == task.end
        if begins and (after or hold.kind == "plated"):
            yield hold


def label(facts: Facts, labels: Labels, task: PlannedTask) -> str:
    """What is written on a batch of a component when its last step is done.

    What it is, how much, when it was made, until when it may be used: the day of the date mark,
    or the moment at which the recipe's own limit ends where that comes first. Empty for
    anything else.
    """
    making = facts.makings.get(task.batch)
    if making is None or making.component is None or task.step != making.stages[-1].id:
        return ""
    names = labels.names
    said = [names.batch(task.batch), about(task.quantity), task.batch]
    if task.loads > 1:
        said.append(f"{task.load} of {task.loads}")
    said.append(f"made {day_words(names.local(task.end).date())}")
    said.append(_until(facts, labels, making))
    content = facts.scenario.contents.get(making.component.id)
    if content is not None and content.contains:
        said.append(f"contains {in_words(content.contains, list_of(facts.scenario.kitchen))}")
    if content is not None and content.unwritten:
        said.append("allergens not written down")
    return ", ".join(x for x in said if x)


def _until(facts: Facts, labels: Labels, making: Making) -> str:
    clock = clock_of(facts, making.id)
    day: date | None = labels.last_day(making.id)
    marked = labels.use_by(making.id)
    if clock is None or making.component is None or (marked and day is None):
        return marked
    bought = making.batch.bought is not None
    keeps = bought_keeps(making.component) if bought else making.component.keeps
    ends = clock.shortest + min(k.at_most for k in keeps)
    if day is not None and labels.names.local(ends).date() > day:
        return marked
    return f"use by {labels.names.moment(ends)}"


def follows(facts: Facts, task: PlannedTask) -> Stage | None:
    """The step that must follow a task at once."""
    making = facts.makings.get(task.batch)
    stage = making.stage(task.step) if making else None
    if making is None or stage is None or stage.then is not None or stage not in making.stages:
        return None
    after = making.stages[stage.index + 1 :]
    return after[0] if after and stage.step is not None else None

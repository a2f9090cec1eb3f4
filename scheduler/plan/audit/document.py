"""The plan as a document: what it names is known, nothing twice, nothing left lying about."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from scheduler.domain.methods import known
from scheduler.plan.audit.facts import way_of
from scheduler.plan.audit.making import PLATING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.model import PlannedBatch, PlannedTask, Taken


def check(facts: Facts) -> None:
    """Rules `known`, `once` and `left-out`."""
    _once(facts)
    for batch in facts.batches.values():
        if batch.id not in facts.makings:
            facts.broken("known", batch.id, _unknown_batch(facts, batch))
        elif batch.id in facts.lots:
            facts.broken("once", batch.id, "is the id of a lot on hand as well")
    for task in facts.plan.tasks:
        _task(facts, task)
    for share in facts.plan.shares:
        where = f"{share.source} for {share.consumer}/{share.step}"
        if share.source not in facts.lots and share.source not in facts.batches:
            facts.broken("known", where, f"there is no batch and no lot '{share.source}'")
        if share.consumer not in facts.batches:
            facts.broken("known", where, f"there is no batch '{share.consumer}'")
    for hold in facts.plan.holds:
        where = f"hold of {hold.source}"
        if hold.source not in facts.lots | facts.batches | facts.deliveries:
            facts.broken("known", where, f"there is no batch and no lot '{hold.source}'")
        if hold.consumer is not None and hold.consumer not in facts.tasks:
            facts.broken("known", where, f"there is no task '{hold.consumer}'")
        if hold.store is not None and hold.store not in facts.scenario.store:
            facts.broken("known", where, f"there is no store '{hold.store}'")
        if hold.unit is not None and hold.unit not in facts.scenario.unit:
            facts.broken("known", where, f"there is no unit '{hold.unit}'")
    for duty in facts.plan.duties:
        _people(facts, duty.id, duty.people)
    _left_out(facts)


def _once(facts: Facts) -> None:
    plan = facts.plan
    lists: dict[str, Iterable[str]] = {
        "batch": (b.id for b in plan.batches),
        "task": (t.id for t in plan.tasks),
        "duty": (d.id for d in plan.duties),
        "missing batch": (m.batch for m in plan.missing),
    }
    for word, ids in lists.items():
        for name, times in Counter(ids).items():
            if times > 1:
                facts.broken("once", name, f"this {word} stands in the plan {times} times")


def _unknown_batch(facts: Facts, batch: PlannedBatch) -> str:
    scenario = facts.scenario
    if (batch.dish is None) == (batch.component is None):
        return "is neither of one component nor of one dish"
    recipe = scenario.component.get(batch.component or "") or scenario.dish.get(batch.dish or "")
    if recipe is not None and not known(recipe, way_of(batch)):
        return f"{recipe.id} is not made by '{way_of(batch)}'"
    if batch.component is not None:
        return f"there is no component '{batch.component}'"
    if batch.dish not in scenario.dish:
        return f"there is no dish '{batch.dish}'"
    if batch.event not in scenario.event:
        return f"there is no event '{batch.event}'"
    return (
        f"the menu of {batch.event} has no {batch.dish} in place {batch.course}"
        f"{f', diet {batch.diet}' if batch.diet else ''}"
        f"{f', wave {batch.wave}' if batch.wave is not None else ''}"
    )


def _task(facts: Facts, task: PlannedTask) -> None:
    making = facts.makings.get(task.batch)
    if task.batch not in facts.batches:
        facts.broken("known", task.id, f"there is no batch '{task.batch}'")
    elif making is not None and making.stage(task.step) is None:
        facts.broken("known", task.id, f"{task.batch} has no step '{task.step}'")
    for taken in task.taken:
        _taken(facts, task.id, taken)
    for visit in task.visits:
        _people(facts, f"{task.id}, {visit.kind}", visit.people)
        for taken in visit.taken:
            _taken(facts, f"{task.id}, {visit.kind}", taken)


def _taken(facts: Facts, where: str, taken: Taken) -> None:
    if taken.unit is not None and taken.unit not in facts.scenario.unit:
        facts.broken("known", where, f"there is no unit '{taken.unit}'")
    if taken.store is not None and taken.store not in facts.scenario.store:
        facts.broken("known", where, f"there is no store '{taken.store}'")


def _people(facts: Facts, where: str, people: tuple[str, ...]) -> None:
    for person in people:
        if person not in facts.scenario.person:
            facts.broken("known", where, f"there is nobody called '{person}'")


def _left_out(facts: Facts) -> None:
    for name in facts.batches:
        if name not in facts.placed and name not in facts.missing:
            facts.broken("left-out", name, "has no task and is not listed as missing")
    for name in sorted(facts.missing):
        if name not in facts.batches:
            facts.broken("known", name, "is listed as missing but is no batch of this plan")
        elif name in facts.placed:
            facts.broken("left-out", name, "is listed as missing but has tasks")
    for making in facts.makings.values():
        if making.dish is not None or making.id not in facts.placed:
            continue
        for source in sorted({s.source for s in facts.shares_to.get(making.id, [])}):
            if source in facts.batches and source not in facts.placed:
                facts.broken("left-out", making.id, f"is planned without {source}, which feeds it")


def task_id(batch: str, step: str, load: int, loads: int) -> str:
    """What a task is called: batch/step, or batch/step/load where there are several."""
    return f"{batch}/{step}" if loads <= 1 or step == PLATING else f"{batch}/{step}/{load}"

"""What hangs on a task that was changed by hand: spans, holds, clean-downs, and the figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from scheduler.domain.quantity import Quantity
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit.equipment import place_of
from scheduler.plan.audit.expected import expected
from scheduler.plan.audit.expecting import Expected, Place
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.holds import key_of
from scheduler.plan.audit.taking import carried, of_task
from scheduler.plan.audit.terms import terms
from scheduler.plan.figures import shelves_taken
from scheduler.plan.model import Plan, PlannedCleanDown, PlannedHold, PlannedTask, Taken


def settled(scenario: Scenario, plan: Plan, old: PlannedTask, new: PlannedTask) -> Plan:
    """A plan in which one task is another, and what hangs on it goes with it.

    Machines and containers of its batch are taken from and to where its tasks say now, and
    what waits before and after it waits so much longer or shorter (in a store with room,
    where it did not wait before). A cleaning that is due at once after it stays behind it;
    one between two tasks that no longer follow each other on the machine is dropped.
    Nothing else changes, and the figures are those that the audit reckons.
    """
    tasks = tuple(new if task is old else task for task in plan.tasks)
    changed = plan.model_copy(update={"tasks": tasks})
    facts = Facts(scenario, changed)
    spans = {id(task): task for task in _of_batch(facts, new.batch)}
    fitted = {name: _spanned(facts, task) for name, task in spans.items()}
    tasks = tuple(fitted.get(id(task), task) for task in tasks)
    holds = tuple(_held(facts))
    changed = changed.model_copy(update={"tasks": tasks, "holds": holds})
    cleaned = tuple(_cleaned(scenario, changed, old, new))
    changed = changed.model_copy(update={"clean_downs": cleaned})
    return changed.model_copy(update={"terms": terms(Facts(scenario, changed))})


def _of_batch(facts: Facts, batch: str) -> Iterator[PlannedTask]:
    making = facts.makings.get(batch)
    for tasks in making.tasks.values() if making else ():
        yield from tasks


def _spanned(facts: Facts, task: PlannedTask) -> PlannedTask:
    """The task with what it takes from and to where the recipe says."""
    making = facts.makings[task.batch]
    stage = next((s for s in making.to_come if s.id == task.step), None)
    if stage is None:
        return task
    wanted = of_task(facts, making, stage, task)
    if making.running(stage) and task.load == 1:
        wanted += carried(facts, making, task)
    spans = {want.place: want for want in wanted}
    taken: list[Taken] = []
    for one in task.taken:
        want = spans.get(place_of(facts, wanted, one))
        if want is not None:
            start = one.start if want.begins(one.start) else want.start
            one = one.model_copy(update={"start": start, "end": want.end})
        taken.append(one)
    return task.model_copy(update={"taken": tuple(taken)})


def _held(facts: Facts) -> Iterator[PlannedHold]:
    """Everything that waits, from and to where the tasks say; what has begun to wait at the end."""
    asked: dict[object, list[Expected]] = defaultdict(list)
    for one in expected(facts):
        asked[one.key].append(one)
    there: dict[object, list[PlannedHold]] = defaultdict(list)
    for hold in facts.plan.holds:
        there[key_of(facts, hold)].append(hold)
    # Two shares of one batch to one step: the smaller hold is the smaller share.
    pairs: dict[int, Expected] = {}
    lacking: list[Expected] = []
    for key, wanted in asked.items():
        found = sorted(there.get(key, []), key=lambda h: h.quantity.base)
        wanted = sorted(wanted, key=lambda e: e.amount) if len(wanted) > 1 else wanted
        pairs |= {id(h): e for h, e in zip(found, wanted, strict=False)}
        lacking += [e for e in wanted[len(found) :] if e.needed]
    for hold in facts.plan.holds:
        wait = pairs.get(id(hold))
        yield hold if wait is None else _fitted(facts, hold, wait)
    for one in lacking:
        yield _fitted(facts, _begun(facts, one), one, new=True)


def _fitted(
    facts: Facts, hold: PlannedHold, one: Expected, *, new: bool = False
) -> PlannedHold:
    """A hold from and to where it must; in a store from when it lasts long enough to need one."""
    start = hold.start if hold.start in one.starts else max(one.starts)
    end = hold.end if hold.end in one.ends else max(one.ends)
    change: dict[str, object] = {"start": start, "end": end}
    if one.consumers and hold.consumer not in one.consumers:
        change["consumer"] = one.consumers[0]
    if one.units:
        change["unit"] = hold.unit if hold.unit in one.units else one.units[0]
    elif new or (start, end) != (hold.start, hold.end):
        if end - start <= facts.scenario.kitchen.transfer:
            change |= {"store": None, "shelves": 0}
        elif hold.store is None:
            store, shelves = _place(facts, one, start, end)
            change |= {"store": store, "shelves": shelves}
    return hold.model_copy(update=change)


def _begun(facts: Facts, one: Expected) -> PlannedHold:
    """A hold for something that has not waited so far."""
    kind, source, detail, load, _ = one.key
    words: dict[str, object] = {"step": detail} if kind in ("wait", "loads") else {}
    if kind == "share" and detail is not None:
        given = (s.given for s in facts.shares_from[source] if s.by_product == detail)
        words = {"by_product": detail, "step": next(given, None)}
    return PlannedHold.model_validate(
        {
            "kind": kind, "source": source, "load": load, "start": max(one.starts),
            "end": max(one.ends), "consumer": one.consumers[0] if one.consumers else None,
            "quantity": Quantity.of(one.amount, one.dimension), **words,
        }
    )  # fmt: skip


def _place(facts: Facts, one: Expected, start: int, end: int) -> tuple[str | None, int]:
    """A store where it keeps, or the bench: the first with room for it, in the recipe's order."""
    stores = facts.scenario.kitchen.stores
    places: list[Place] = []
    for zone, shelves in one.places:
        if zone is None:
            places.append((None, 0))
        places += [(s.id, shelves) for s in stores if s.zone == zone and one.store in (None, s.id)]
    taken = shelves_taken(facts.scenario, facts.plan)
    for store, shelves in places:
        if store is None:
            return store, shelves
        spans = [t for t in taken.get(store, ()) if t[0] < end and t[1] > start]
        peaks = [
            sum(n for a, b, n in spans if a <= at < b)
            for at in (start, *(a for a, _, _ in spans if a > start))
        ]
        if max(peaks) + shelves <= facts.scenario.store[store].shelves:
            return store, shelves
    return places[0] if places else (None, 0)


def _cleaned(
    scenario: Scenario, plan: Plan, old: PlannedTask, new: PlannedTask
) -> Iterator[PlannedCleanDown]:
    """The cleanings that still lie between their two tasks; those due at once go with theirs."""
    tasks = {task.id: task for task in plan.tasks}
    for done in plan.clean_downs:
        if old.id not in (done.after, done.before):
            yield done
            continue
        one, two = (_on(tasks.get(name), done.unit) for name in (done.after, done.before))
        if one is None or two is None or two[0] < one[1]:
            continue
        known = scenario.unit.get(done.unit)
        rule = known[0].clean_down if known else None
        was = _on(old, done.unit)
        at_once = rule is not None and rule.when == "at once" and done.after == old.id
        if at_once and was is not None and was[1] == done.start:
            lasts = done.end - done.start
            done = done.model_copy(update={"start": one[1], "end": one[1] + lasts})
        yield done


def _on(task: PlannedTask | None, unit: str) -> tuple[int, int] | None:
    """From when to when a task, or a visit to it, is on a unit."""
    if task is None:
        return None
    taken = [t for t in (*task.taken, *(t for v in task.visits for t in v.taken)) if t.unit == unit]
    return (min(t.start for t in taken), max(t.end for t in taken)) if taken else None

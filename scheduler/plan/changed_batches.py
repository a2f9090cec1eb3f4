"""What changes of what is made between two plans, batch by batch."""

from __future__ import annotations

from typing import Literal

from scheduler.domain.methods import name_of
from scheduler.domain.quantity import Quantity
from scheduler.plan.changes import BatchChange, StepChange
from scheduler.plan.model import PlannedBatch, PlannedTask
from scheduler.plan.pairing import FEW, Pair, listed, moved
from scheduler.plan.words import Names

Kind = Literal["new", "gone", "placed", "left out", "changed"]


def batches(pair: Pair) -> tuple[BatchChange, ...]:
    """Every batch of which something changes, in the newer plan's order; what is gone at the end.

    What was over when planning begins is no change.
    """
    before, after = _tasks_of(pair.old), _tasks_of(pair.new)
    ids = dict.fromkeys((*pair.new.batches, *pair.old.batches))
    found = []
    for batch in ids:
        was, is_now = before.get(batch, []), after.get(batch, [])
        ends = [t.end for t in is_now] or [pair.minute(t.end) for t in was]
        if ends and max(ends) <= pair.now:
            continue
        change = _change(pair, batch, was, is_now)
        if change is not None:
            found.append(change)
    return tuple(found)


def _tasks_of(names: Names) -> dict[str, list[PlannedTask]]:
    found: dict[str, list[PlannedTask]] = {}
    for task in names.plan.tasks:
        found.setdefault(task.batch, []).append(task)
    return found


def _change(
    pair: Pair, batch: str, was: list[PlannedTask], is_now: list[PlannedTask]
) -> BatchChange | None:
    old, new = pair.old.batches.get(batch), pair.new.batches.get(batch)
    begins = (
        pair.minute(min(t.start for t in was)) if was else None,
        min((t.start for t in is_now), default=None),
    )
    amounts = old.quantity if old else None, new.quantity if new else None
    ways = _method(pair.old, old), _method(pair.new, new)
    names = pair.new if new else pair.old
    steps: tuple[StepChange, ...] = ()
    if old is None or new is None:
        kind: Kind = "new" if old is None else "gone"
        said = [f"{kind}: {names.amount(batch)}"]
    elif bool(was) != bool(is_now):
        kind = "placed" if is_now else "left out"
        said = ["has a place now" if is_now else "has no place any more"]
    else:
        kind, said = "changed", []
        steps = _steps(pair, was, is_now)
    if kind in ("new", "placed") and begins[1] is not None:
        said.append(f"from {pair.new.moment(begins[1])}")
    if old and new and not _same(old.quantity, new.quantity):
        said.append(f"{pair.new.amount(batch)} instead of {pair.old.amount(batch)}")
    if old and new and ways[0] != ways[1]:
        said.append(f"{ways[1]} instead of {ways[0]}")
    else:
        ways = "", ""
    said += _steps_said(pair, steps, begins)
    if not said:
        return None
    told = f"{names.batch(batch)}: {listed(said)}"
    return BatchChange(batch, names.batch(batch), kind, amounts, begins, ways, steps, told)


def _steps_said(
    pair: Pair, steps: tuple[StepChange, ...], begins: tuple[int | None, int | None]
) -> list[str]:
    """Few steps one by one; of many when the batch is begun, and how many change."""
    if len(steps) <= FEW:
        return [s.said for s in steps]
    said = [f"{len(steps)} steps change"]
    if begins[0] is not None and begins[1] is not None and begins[0] != begins[1]:
        said.insert(0, f"begun {pair.from_to((begins[0],) * 2, (begins[1],) * 2)}")
    return said


def _same(one: Quantity, other: Quantity) -> bool:
    return (one.base, one.dimension) == (other.base, other.dimension)


def _method(names: Names, batch: PlannedBatch | None) -> str:
    """How it is made, in words."""
    if batch is None:
        return ""
    if batch.bought is not None:
        return "bought in"
    recipe = names.scenario.component.get(batch.component or "") or (
        names.scenario.dish.get(batch.dish or "")
    )
    if batch.method is None or recipe is None:
        return "its own steps"
    return name_of(recipe, batch.method)


def _steps(
    pair: Pair, was: list[PlannedTask], is_now: list[PlannedTask]
) -> tuple[StepChange, ...]:
    before = {t.id: t for t in was}
    after = {t.id: t for t in is_now}
    found = []
    for name in sorted({*before, *after}, key=lambda n: (after.get(n) or before[n]).start):
        old, new = before.get(name), after.get(name)
        spans = pair.of_old(old) if old else None, (new.start, new.end) if new else None
        units = _units(old), _units(new)
        names, one = (pair.new, new) if new else (pair.old, old)
        assert one is not None
        step = names.step(one.batch, one.step) + (f" {one.load}" if one.loads > 1 else "")
        said = []
        if spans[0] is None or spans[1] is None:
            said.append("new" if new else "no longer")
        elif moved(spans[0], spans[1]):
            said.append(pair.from_to(spans[0], spans[1]))
        if old and new and units[0] != units[1]:
            there, here = ([n.unit(u) for u in some] for n, some in
                           zip((pair.old, pair.new), units, strict=True))  # fmt: skip
            said.append(f"on {' and '.join(here) or 'nothing'} instead of "
                        f"{' and '.join(there) or 'nothing'}")  # fmt: skip
        if said:
            told = f"{step} {', '.join(said)}"
            found.append(StepChange(name, step, spans[0], spans[1], units, told))
    return tuple(found)


def _units(task: PlannedTask | None) -> tuple[str, ...]:
    """The units a task is on, in order; containers and the like too."""
    if task is None:
        return ()
    return tuple(sorted({t.unit for t in task.taken if t.unit is not None}))

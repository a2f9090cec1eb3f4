"""The record as a log: what happened, readings beside their targets, and what is unknown."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from scheduler.book.recording import in_words
from scheduler.book.standing import Recorded, TaskState, standing, states_of
from scheduler.outputs.known import by_and_by, figures, held_against, reached
from scheduler.outputs.measured import WHAT, Verdict
from scheduler.outputs.measuring import Measure
from scheduler.outputs.sheet import Sheets
from scheduler.plan.words import Names

SOON = timedelta(minutes=5)
"""What arrived so soon was entered as it happened."""
SEVERAL = 2
"""Readings from which there is a curve to see."""


@dataclass(frozen=True, slots=True)
class Row:
    """An entry of the record in a log.

    Attributes
    ----------
    entry : Recorded
    at : datetime
        When it happened, on the kitchen's clock.
    arrived : datetime or None
        When it was entered, where that was later.
    batch, step, said, who : str
        In words.
    against : str
        What a reading is held against; empty: nothing, or it is none.
    verdict : Verdict or None
    instead_of, replaced_by : int or None
        Places of the entries that it corrects, and that stands in its place.
    strange : bool
        Its plan has no such batch or task.
    """

    entry: Recorded
    at: datetime
    arrived: datetime | None
    batch: str
    step: str
    said: str
    who: str
    against: str
    verdict: Verdict | None
    instead_of: int | None
    replaced_by: int | None
    strange: bool


@dataclass(frozen=True, slots=True)
class Curve:
    """Temperatures of one task over time, and what they had to be.

    Attributes
    ----------
    task, title : str
    begins : int
        When the task begins, by its plan. Minute.
    points : tuple of (int, Fraction)
        Minute and °C, in order of time.
    limits : tuple of (int, Fraction)
        The minute by which it had to be so cold, and °C.
    least : Fraction or None
        Or how hot it had to get at least.
    """

    task: str
    title: str
    begins: int
    points: tuple[tuple[int, Fraction], ...]
    limits: tuple[tuple[int, Fraction], ...]
    least: Fraction | None


def rows(record: Sequence[Recorded], plans: Mapping[int, Sheets], newest: Sheets) -> list[Row]:
    """The record in the order in which it happened.

    Parameters
    ----------
    plans : mapping
        The plans that entries name, by number.
    newest : Sheets
        For entries that name none.
    """
    places = {e.id: e.place for e in record}
    ends = _ends(record)
    found = [
        _row(e, plans.get(e.number or 0, newest), record, places, ends.get(e.id)) for e in record
    ]
    return sorted(found, key=lambda row: (row.at, row.entry.place))


def _ends(record: Sequence[Recorded]) -> dict[str, int]:
    """Of each entry that no longer stands, the place of what does."""
    last = {e.id: e for e in record}
    stands = {e.id for e in standing(record)}
    after = {e.corrects: e for e in sorted(record, key=lambda e: e.place) if e.corrects}
    found = {}
    for entry in record:
        one, seen = entry, {entry.id}
        while one.id in after and after[one.id].id not in seen:
            one = after[one.id]
            seen.add(one.id)
        if entry.id not in stands:
            found[entry.id] = last[one.id].place
    return found


def _row(
    entry: Recorded, sheets: Sheets, record: Sequence[Recorded], places: Mapping[str, int],
    replaced_by: int | None,
) -> Row:  # fmt: skip
    names = sheets.names
    clock = names.scenario.clock
    task = names.tasks.get(entry.task or "")
    some = targets(sheets, entry)
    verdict = None
    if some and entry.kind == "measured":
        before = states_of(e for e in record if e.place < entry.place)
        state = before.get(entry.task or "", TaskState())
        value, unit = Fraction(entry.body["value"]), entry.body["unit"]
        verdict = held_against(some, state, value, unit, clock, clock.since(entry.when)).verdict
    known = entry.batch in names.batches or any(
        lot.id == entry.batch for lot in names.scenario.week.on_hand
    )
    return Row(
        entry=entry,
        at=entry.when.astimezone(clock.zone),
        arrived=entry.arrived.astimezone(clock.zone) if entry.arrived - entry.when > SOON else None,
        batch=names.batch(entry.batch),
        step=names.step(task.batch, task.step) if task is not None else (entry.task or ""),
        said=in_words(entry.kind, entry.body),
        who=names.person(entry.who),
        against="; ".join(m.said for m in some),
        verdict=verdict,
        instead_of=places.get(entry.corrects or ""),
        replaced_by=replaced_by,
        strange=not known or (entry.task is not None and task is None),
    )


def targets(sheets: Sheets, entry: Recorded) -> list[Measure]:
    """What a reading is held against by the plan that it was entered from."""
    if entry.kind != "measured" or entry.task is None:
        return []
    return [m for m in _measures(sheets, entry.task) if WHAT.get(m.kind) == entry.body.get("what")]


def _measures(sheets: Sheets, task: str) -> Iterable[Measure]:
    names = sheets.names
    for line in sheets.lines_at(task):
        for measure in (*(m for _, m in figures(names, line)), *by_and_by(names, line)):
            if measure.task == task:
                yield measure


def unknown(batch: str, sheets: Sheets, record: Iterable[Recorded]) -> list[str]:
    """Of which steps and figures of a batch nobody has said anything; not late: unknown."""
    names, states = sheets.names, states_of(record)
    found = []
    for task in (t for t in names.plan.tasks if t.batch == batch):
        step = names.step(task.batch, task.step)
        load = f" ({task.load} of {task.loads})" if task.loads > 1 else ""
        state = states.get(task.id, TaskState())
        if state.state == "unknown":
            found.append(f"{step}{load}: nothing entered")
        for measure in _measures(sheets, task.id):
            if measure.target is not None and not reached(state, measure):
                found.append(f"{step}{load}: no reading of {measure.said}")
    return found


def curves(record: Sequence[Recorded], plans: Mapping[int, Sheets], newest: Sheets) -> list[Curve]:
    """A curve of each task of which several temperatures were read."""
    by_task: dict[str, list[Recorded]] = {}
    for entry in standing(record):
        if entry.kind == "measured" and entry.task and entry.body.get("unit") in ("°C", "°F"):
            by_task.setdefault(entry.task, []).append(entry)
    found = []
    for task, entries in by_task.items():
        sheets = plans.get(entries[-1].number or 0, newest)
        planned = sheets.names.tasks.get(task)
        if len(entries) >= SEVERAL and planned is not None:
            found.append(_curve(sheets.names, task, entries, list(_measures(sheets, task))))
    return found


def _curve(
    names: Names, task: str, entries: Sequence[Recorded], some: Sequence[Measure]
) -> Curve:
    clock, planned = names.scenario.clock, names.tasks[task]
    points = sorted((clock.since(e.when), _celsius(e)) for e in entries)
    cold = [(m.by, m.target) for m in some if m.kind == "cooling" and m.by and m.target is not None]
    hot = [m.target for m in some if m.kind == "core" and m.target is not None]
    return Curve(
        task=task,
        title=f"{names.batch(planned.batch)}: {names.step(planned.batch, planned.step)}",
        begins=planned.law_start,
        points=tuple(points),
        limits=tuple(sorted(cold)),
        least=max(hot, default=None) if not cold else None,
    )


def _celsius(entry: Recorded) -> Fraction:
    value = Fraction(entry.body["value"])
    return (value - 32) * 5 / 9 if entry.body["unit"] == "°F" else value

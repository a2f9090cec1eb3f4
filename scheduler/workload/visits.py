"""Visits inside a step: tending and adding."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.compiled import VisitRecord
from scheduler.workload.hands import on_duty
from scheduler.workload.laws import law
from scheduler.workload.places import wanted
from scheduler.workload.primitives import Add, Tend, VisitUse
from scheduler.workload.sharing import as_written

if TYPE_CHECKING:
    from scheduler.domain.recipes import Step, Visit
    from scheduler.domain.recipes import Tend as WrittenTend
    from scheduler.workload.builder import Builder, Built
    from scheduler.workload.compiled import TaskRecord


def visit_length(b: Builder, built: Built, visit: Visit, load: int) -> int:
    """How long a visit to one load takes: its shortest, up to the grid, ticks."""
    batch = built.batch
    return b.up(law(visit.time, load, batch.dimension, b.component(batch)).at_least)


def _uses(
    b: Builder, built: Built, visit: Visit, load: int, where: str
) -> tuple[tuple[VisitUse, ...], tuple[tuple[int, int, int], ...]]:
    """What a visit takes while it lasts, as primitives and as the plan shows it."""
    uses: list[VisitUse] = []
    takes: list[tuple[int, int, int]] = []
    for n, need in enumerate(visit.on):
        for want in wanted(b, need, load, built.batch.dimension, b.component(built.batch)):
            resources = {o.resource for o in want.options}
            if len(resources) != 1 or any(o.state is not None for o in want.options):
                b.complaints.add(
                    where,
                    f"a visit takes {need.equipment or need.zone}, of which there are several "
                    "to choose from",
                    "the name of one of them",
                )
                continue
            resource = resources.pop()
            uses.append(VisitUse(resource, want.amount))
            takes.append((n, resource, want.places))
    return tuple(uses), tuple(takes)


def add_tend(
    b: Builder, built: Built, step: Step, section: str, record: TaskRecord, since: int
) -> None:
    """Tending: gaps in [every - tol, every + tol], or one visit in each of some windows.

    For what runs already the first gap is counted from its last visit
    (`since`, ticks before the task).
    """
    run = record.parts.get("on", record.parts.get("run", 0))
    for tend in step.tend:
        length = visit_length(b, built, tend, record.quantity)
        crew = as_written(b, tend.hands, section, (*step.on, *tend.on))
        uses, takes = _uses(b, built, tend, record.quantity, record.id)
        gap: tuple[int, int] | None = None
        windows: tuple[tuple[int, int], ...] = ()
        if tend.every is not None:
            gap = (b.up(tend.every - tend.give_or_take), b.down(tend.every + tend.give_or_take))
            if gap[0] > gap[1]:
                b.complaints.add(
                    f"{record.batch}, {step.id}",
                    f"tended every {tend.every} min give or take {tend.give_or_take} min: no "
                    f"moment on the grid of {b.grid} min lies between "
                    f"{tend.every - tend.give_or_take} and {tend.every + tend.give_or_take} min",
                    f"give_or_take: {b.grid} min",
                )
                gap = (gap[1], gap[1])
        else:
            windows = _windows(b, tend, section, length)
            if record.began is not None:
                windows = _still_open(b, windows, since, length)
        b.tends.append(
            Tend(run, length, crew, gap, since if gap is not None else 0, windows, uses)
        )
        record.visits.append(
            VisitRecord("tend", len(b.tends) - 1, run, 0, tend.verb or "tend", takes=takes)
        )


def _windows(
    b: Builder, tend: WrittenTend, section: str, length: int
) -> tuple[tuple[int, int], ...]:
    """Occurrences of its day parts; of all of them in which the section is on duty long enough."""
    parts = tend.day_parts or tuple(b.calendar.parts)
    found = sorted({w for p in parts for w in b.calendar.parts.get(p, ()) if w[1] > b.calendar.now})
    if not tend.once_a_shift:
        return tuple(found)
    there = [on_duty(b, hands, section) for hands in tend.hands]
    return tuple(
        (a, z)
        for a, z in found
        if all(any(min(z, e) - max(a, s) >= length for s, e in spans) for spans in there)
    )


def _still_open(
    b: Builder, windows: tuple[tuple[int, int], ...], since: int, length: int
) -> tuple[tuple[int, int], ...]:
    """For a running step: windows not visited yet, as far as they lie ahead."""
    now = b.calendar.now
    seen = now - since
    return tuple(
        (max(a, now), z)
        for a, z in windows
        if not (since and a <= seen <= z) and z - max(a, now) >= length
    )


def add_adds(
    b: Builder, built: Built, step: Step, section: str, record: TaskRecord
) -> None:
    """Adding: one visit that starts after ± tolerance from the end of loading.

    What should have been added before planning begins has been.
    """
    began, origin = (0, 0) if record.began is None else (record.began, b.calendar.now)
    run = record.parts["run"]
    for n, add in enumerate(step.add):
        least = b.up(began + max(0, add.after - add.give_or_take)) - origin
        most = b.down(began + add.after + add.give_or_take) - origin
        if most < 0:
            continue
        if least > most:
            b.complaints.add(
                f"{record.batch}, {step.id}",
                f"added {add.after} min after it begins, give or take {add.give_or_take} min: no "
                f"moment on the grid of {b.grid} min lies in it",
                f"give_or_take: {b.grid} min",
            )
            continue
        uses, takes = _uses(b, built, add, record.quantity, record.id)
        crew = as_written(b, add.hands, section, (*step.on, *add.on))
        length = visit_length(b, built, add, record.quantity)
        b.adds.append(Add(run, length, crew, max(0, least), most, uses))
        record.visits.append(
            VisitRecord("add", len(b.adds) - 1, run, n, add.verb or "add", takes=takes)
        )

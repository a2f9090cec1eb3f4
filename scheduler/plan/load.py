"""How full a plan is over time: shelves of each store, hands of each section, oven settings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.domain.base import Slug
from scheduler.plan.figures import merged, shelves_taken, shifts_of
from scheduler.plan.jobs import jobs
from scheduler.plan.words import Names
from scheduler.plan.working import overtime_of

Steps = tuple[tuple[int, int], ...]
"""A number over time: from each minute on so many, until the next one; before the first none."""


@dataclass(frozen=True, slots=True)
class Load:
    """How much is taken over time of what there is.

    Attributes
    ----------
    id, name : str
        Store or section; an empty id: all of them together, or what is anybody's.
    taken, there : Steps
    """

    id: Slug
    name: str
    taken: Steps
    there: Steps


@dataclass(frozen=True, slots=True)
class Setting:
    """What a unit is set to, from and to, minutes."""

    start: int
    end: int
    celsius: int
    mode: str


def steps(spans: Iterable[tuple[int, int, int]]) -> Steps:
    """How many there are over time of spans (from, to, how many); half-open."""
    changes: dict[int, int] = {}
    for start, end, many in spans:
        if start < end:
            changes[start] = changes.get(start, 0) + many
            changes[end] = changes.get(end, 0) - many
    found: list[tuple[int, int]] = []
    level = 0
    for minute in sorted(changes):
        if changes[minute]:
            level += changes[minute]
            found.append((minute, level))
    return tuple(found)


def at(steps_: Steps, minute: int) -> int:
    """How many there are at a moment."""
    return next((n for m, n in reversed(steps_) if m <= minute), 0)


def shelves(names: Names) -> tuple[Load, ...]:
    """Of each store the shelves that are taken and those it has, in the kitchen's order."""
    taken = shelves_taken(names.scenario, names.plan)
    whole = (0, names.scenario.clock.horizon)
    return tuple(
        Load(
            store.id, names.store(store.id), steps(taken.get(store.id, ())),
            steps([(*whole, store.shelves)]),
        )
        for store in names.scenario.kitchen.stores
    )  # fmt: skip


def hands(names: Names) -> tuple[Load, ...]:
    """Pairs of hands that are needed at once, and that are on duty: of everybody, then by section.

    Whoever steps away from one job for another counts once. Somebody of two sections is on duty
    in both. Work that is anybody's is counted with everybody only.
    """
    busy: dict[tuple[str | None, Slug], list[tuple[int, int]]] = {}
    for job in jobs(names):
        if job.short == "break":
            continue
        for person in job.people:
            for section in (None, job.section):
                busy.setdefault((section, person), []).append((job.start, job.end))
    there = _on_duty(names)
    found = []
    sections = names.scenario.kitchen.sections
    for section in (None, *(s.id for s in sections)):
        of = [
            p.id for p in names.scenario.kitchen.people if section is None or section in p.sections
        ]
        needed = [(a, b, 1) for (s, _), spans in busy.items() if s == section
                  for a, b in merged(spans)]  # fmt: skip
        duty = [(a, b, 1) for person in of for a, b in there.get(person, ())]
        name = "Everybody" if section is None else names.section(section)
        found.append(Load(section or "", name, steps(needed), steps(duty)))
    return tuple(found)


def _on_duty(names: Names) -> dict[Slug, list[tuple[int, int]]]:
    """When each person is on duty: shifts and overtime, breaks taken out."""
    extra: dict[Slug, list[tuple[int, int]]] = {}
    for one in overtime_of(names):
        extra.setdefault(one.person, []).append((one.start, one.end))
    found = {}
    for person in names.scenario.kitchen.people:
        spans = [s for _, pieces in shifts_of(names.scenario, person) for s in pieces]
        spans = merged([*spans, *extra.get(person.id, ())])
        for pause in names.plan.breaks:
            if pause.person == person.id:
                spans = [
                    cut
                    for a, b in spans
                    for cut in ((a, min(b, pause.start)), (max(a, pause.end), b))
                    if cut[0] < cut[1]
                ]
        found[person.id] = spans
    return found


def settings(names: Names) -> dict[Slug, tuple[Setting, ...]]:
    """Of each unit that is set to a temperature, to which and when; those that are used."""
    spans: dict[tuple[Slug, int, str], list[tuple[int, int]]] = {}
    for task in names.plan.tasks:
        for use in (*task.taken, *(t for v in task.visits for t in v.taken)):
            if use.unit and use.celsius is not None and use.start < use.end:
                key = use.unit, use.celsius, use.mode or ""
                spans.setdefault(key, []).append((use.start, use.end))
    found: dict[Slug, list[Setting]] = {}
    for (unit, celsius, mode), there in spans.items():
        found.setdefault(unit, []).extend(Setting(a, b, celsius, mode) for a, b in merged(there))
    order = [u.id for kind in names.scenario.kitchen.equipment for u in kind.each]
    return {
        unit: tuple(sorted(found[unit], key=lambda s: (s.start, s.end)))
        for unit in order
        if unit in found
    }

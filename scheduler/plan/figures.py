"""How full a plan is: the tightest person-day, machine and store."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction
from typing import Literal

from scheduler.domain.base import Slug
from scheduler.domain.kitchen import Duty, Person
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import Plan, PlannedTask, PlannedVisit
from scheduler.plan.words import Names, day_words, several

DAY = 1440


@dataclass(frozen=True, slots=True)
class Tight:
    """The fullest person-day, machine or store.

    Attributes
    ----------
    kind : str
    what : str
        Person, unit or store.
    at : int
        Start of the shift, start of the 24 hours, or the moment of the peak. Minute.
    used, of : int
        Minutes, or shelves.
    """

    kind: Literal["person", "machine", "shelves"]
    what: Slug
    at: int
    used: int
    of: int

    @property
    def part(self) -> Fraction:
        """Used of what there is."""
        return Fraction(self.used, self.of)


def overlap(a: tuple[int, int], b: tuple[int, int]) -> int:
    """Minutes two stretches have in common."""
    return max(0, min(a[1], b[1]) - max(a[0], b[0]))


def shifts_of(scenario: Scenario, person: Person) -> list[tuple[int, list[tuple[int, int]]]]:
    """Each shift of a person from `plan_from` on, as its start and the stretches without breaks."""
    clock = scenario.clock
    first = clock.minute(scenario.week.plan_from)
    found = []
    for shift in person.shifts:
        for day in clock.days():
            if day in person.off or not any(day in days for days in shift.days):
                continue
            start, end = clock.span(day, shift.hours)
            pieces = [(max(start, first), min(end, clock.horizon))]
            for hours in shift.breaks:
                for shifted in (day, day + timedelta(days=1)):
                    a, b = clock.span(shifted, hours)
                    if b > start and a < end:
                        pieces = [
                            cut
                            for p in pieces
                            for cut in ((p[0], min(p[1], a)), (max(p[0], b), p[1]))
                        ]
                        pieces = [p for p in pieces if p[0] < p[1]]
            pieces = sorted({p for p in pieces if p[0] < p[1]})
            if pieces:
                found.append((start, pieces))
    return found


def visits_of(plan: Plan) -> Iterable[tuple[PlannedTask, PlannedVisit]]:
    """Every visit with its task."""
    return ((task, visit) for task in plan.tasks for visit in task.visits)


def tightest_person(scenario: Scenario, plan: Plan) -> Tight | None:
    """The person-day with the largest part of a shift spoken for, duties included.

    Only days with a visit count: somebody who is on a standing duty all day is not tight.
    """
    visits: dict[Slug, list[tuple[int, int]]] = {}
    spoken: dict[Slug, list[tuple[int, int]]] = {}
    rests: dict[Slug, list[tuple[int, int]]] = {}
    for _, visit in visits_of(plan):
        for who in visit.people:
            visits.setdefault(who, []).append((visit.start, visit.end))
    for done in plan.clean_downs:
        for who in done.people:
            visits.setdefault(who, []).append((done.start, done.end))
    for duty in plan.duties:
        for who in duty.people:
            spoken.setdefault(who, []).append((duty.start, duty.end))
    for pause in plan.breaks:
        rests.setdefault(pause.person, []).append((pause.start, pause.end))
    # Whoever steps away from one thing for another is at one thing all the same.
    for who, theirs in visits.items():
        spoken[who] = _joined([*spoken.get(who, ()), *theirs])
    found = []
    for person in scenario.kitchen.people:
        for start, pieces in shifts_of(scenario, person):
            there = sum(b - a for a, b in pieces)
            there -= sum(overlap(p, r) for p in pieces for r in rests.get(person.id, ()))
            cooking = any(overlap(p, v) for p in pieces for v in visits.get(person.id, ()))
            at_it = sum(overlap(p, s) for p in pieces for s in spoken.get(person.id, ()))
            if cooking and there >= 60:
                found.append(Tight("person", person.id, start, min(there, at_it), there))
    return max(found, key=lambda t: (t.part, t.of), default=None)


def _joined(stretches: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Their union."""
    found: list[tuple[int, int]] = []
    for start, end in sorted(stretches):
        if found and start <= found[-1][1]:
            found[-1] = found[-1][0], max(end, found[-1][1])
        else:
            found.append((start, end))
    return found


def tightest_machine(scenario: Scenario, plan: Plan) -> Tight | None:
    """The unit that is running for most of its busiest 24 hours; containers are left out.

    A unit with several places of one kind and no setting counts by its places in use.
    """
    spans: dict[Slug, list[tuple[int, int, int]]] = {}
    names = Names(scenario, plan)
    for task in plan.tasks:
        step = names.step_of(task.batch, task.step)
        needs = step.on if step else ()
        for taken in (*task.taken, *(t for v in task.visits for t in v.taken)):
            spanning = taken in task.taken and taken.need < len(needs) and needs[taken.need].until
            if taken.unit in scenario.unit and not spanning:
                spans.setdefault(taken.unit, []).append((taken.start, taken.end, taken.amount))
    found = []
    for unit, taken_spans in spans.items():
        kind, size = scenario.unit[unit]
        if kind.per_shelf is not None:
            continue
        whole = kind.heat is not None or kind.fill is not None or bool(size.holds)
        places = 1 if whole else size.capacity or 1
        if whole:
            taken_spans = [(a, b, 1) for a, b in merged((a, b) for a, b, _ in taken_spans)]
        # The busiest 24 hours begin where something does, or end where something does.
        starts = sorted({a for a, _, _ in taken_spans})
        for start in (*starts, *sorted({b - DAY for _, b, _ in taken_spans})):
            used = sum(n * overlap((a, b), (start, start + DAY)) for a, b, n in taken_spans)
            found.append(Tight("machine", unit, start, used // places, DAY))
    return max(found, key=lambda t: t.part, default=None)


def merged(spans: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Stretches with those that touch made one, in order."""
    out: list[tuple[int, int]] = []
    for a, b in sorted(spans):
        if out and a <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], b))
        elif a < b:
            out.append((a, b))
    return out


def duty_of(scenario: Scenario, duty: Slug) -> Duty | None:
    """A standing duty by id."""
    return next((d for d in scenario.kitchen.duties if d.id == duty), None)


def shelves_taken(scenario: Scenario, plan: Plan) -> dict[Slug, list[tuple[int, int, int]]]:
    """Per store, everything that stands in it: (start, end, shelves)."""
    transfer = scenario.kitchen.transfer
    taken: dict[Slug, list[tuple[int, int, int]]] = {}
    for hold in plan.holds:
        if hold.store and hold.shelves and hold.end - hold.start > transfer:
            taken.setdefault(hold.store, []).append((hold.start, hold.end, hold.shelves))
    for task in plan.tasks:
        for use in (*task.taken, *(t for v in task.visits for t in v.taken)):
            if use.store and use.start < use.end:
                taken.setdefault(use.store, []).append((use.start, use.end, use.amount))
    for planned in plan.duties:
        duty = duty_of(scenario, planned.duty)
        for shelf in duty.stores if duty else ():
            taken.setdefault(shelf.store, []).append((planned.start, planned.end, shelf.shelves))
    return taken


def tightest_store(scenario: Scenario, plan: Plan) -> Tight | None:
    """The store that is fullest at its peak, and the first moment of that peak."""
    found = []
    for store, spans in shelves_taken(scenario, plan).items():
        if store not in scenario.store:
            continue
        # At one moment what leaves goes before what comes.
        changes = sorted([(a, n) for a, _, n in spans] + [(b, -n) for _, b, n in spans])
        full = peak = at = 0
        for moment, change in changes:
            full += change
            if full > peak:
                peak, at = full, moment
        if peak:
            found.append(Tight("shelves", store, at, peak, scenario.store[store].shelves))
    return max(found, key=lambda t: (t.part, t.of), default=None)


def tightest(names: Names) -> tuple[Tight | None, ...]:
    """The fullest person-day, machine and store, each where there is one."""
    scenario, plan = names.scenario, names.plan
    return (
        tightest_person(scenario, plan),
        tightest_machine(scenario, plan),
        tightest_store(scenario, plan),
    )


def spot(names: Names, tight: Tight) -> str:
    """One of them in words."""
    if tight.kind == "person":
        day = day_words(names.local(tight.at).date())
        used, of = names.length(tight.used), names.length(tight.of)
        return f"{names.person(tight.what)} {day}, {used} of {of}"
    if tight.kind == "machine":
        used = "all" if tight.used >= tight.of else names.length(tight.used)
        return f"{names.unit(tight.what)}, {used} of the 24 h from {names.moment(tight.at)}"
    at = names.moment(tight.at)
    return (
        f"{names.store(tight.what)} {at}, {tight.used} of {several(tight.of, 'shelf', 'shelves')}"
    )

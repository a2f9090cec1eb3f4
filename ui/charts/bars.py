"""The bars of a plan: everything that takes time, with what it is told by and where it belongs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from scheduler.plan.figures import duty_of
from scheduler.plan.jobs import places_of
from scheduler.plan.model import PlannedHold, PlannedTask, PlannedVisit, Taken
from scheduler.plan.waiting import kept
from scheduler.plan.words import PLATING, Names, several

Kind = Literal["hands", "alone", "waits", "duty", "clean", "pause", "was"]
KINDS: dict[Kind, str] = {
    "hands": "hands at work",
    "alone": "runs by itself",
    "waits": "waits",
    "duty": "standing duty",
    "clean": "clean-down",
    "pause": "break",
    "was": "as it was",
}
"""The kinds of bar in the order in which they stand in a row, and what each is called."""
OF_A_PLAN: tuple[Kind, ...] = tuple(kind for kind in KINDS if kind != "was")
"""Those that one plan has; what was is drawn beside another."""
MOST_TAKERS = 8
"""So many takers of what waits are told beside the pointer."""


@dataclass(frozen=True, slots=True)
class Place:
    """A unit or store that something takes: from and to, and how much of it, in words.

    Often longer than the work itself: a tub is taken until it is washed.
    """

    id: str
    start: int
    end: int
    says: str


@dataclass(frozen=True, slots=True)
class Bar:
    """Something that takes time.

    Attributes
    ----------
    kind : str
    start, end : int
        Minutes of the week.
    name : str
        What stands in the bar.
    says : tuple of str
        What more there is to know, a line each.
    section : str
        Empty: anybody's.
    people : tuple of str
        Ids of whose time it takes.
    places : tuple of Place
    batch : str
        Empty for duties, clean-downs and breaks.
    task : str
        The task that opens when it is clicked; empty where there is none.
    """

    kind: Kind
    start: int
    end: int
    name: str
    says: tuple[str, ...]
    section: str = ""
    people: tuple[str, ...] = ()
    places: tuple[Place, ...] = ()
    batch: str = ""
    task: str = ""


def bars(names: Names) -> tuple[Bar, ...]:
    """Every bar of a plan, in order of time."""
    found = [
        *(bar for task in names.plan.tasks for bar in _of_task(names, task)),
        *_holds(names),
        *_duties(names),
        *_clean_downs(names),
        *(
            Bar("pause", p.start, p.end, "Break", (names.person(p.person),), people=(p.person,))
            for p in names.plan.breaks
        ),
    ]
    return tuple(sorted(found, key=lambda b: (b.start, b.end)))


def _of_task(names: Names, task: PlannedTask) -> Iterator[Bar]:
    name, section = names.batch(task.batch), names.section_of(task)
    load = f", load {task.load} of {task.loads}" if task.loads > 1 else ""
    step, amount = names.step(task.batch, task.step), names.goes_in(task) + load
    for visit in task.visits:
        taken = (*visit.taken, *task.taken)
        yield Bar(
            "hands", visit.start, visit.end, f"{_done(step, visit)}: {name}",
            _told(amount, _whose(names, visit.people), places_of(names, taken)),
            section, visit.people,
            (*_places(names, visit.taken), *_places(names, _meanwhile(task, visit))),
            task.batch, task.id,
        )  # fmt: skip
    if not any(v.kind == "hands" for v in task.visits):
        ahead = next((v for v in task.visits if v.start >= task.law_start), None)
        then = f"next: {_done(step, ahead)} {names.moment(ahead.start)}" if ahead else ""
        yield Bar(
            "alone", task.law_start, task.law_end, name,
            _told(step, amount, places_of(names, task.taken), then),
            section, (), _places(names, task.taken), task.batch, task.id,
        )  # fmt: skip


def _done(step: str, visit: PlannedVisit) -> str:
    """What is done in a stretch of hands."""
    own = visit.kind == "hands" and step != PLATING
    does = step if own else visit.verb or f"{step}, {visit.kind}"
    return does[:1].upper() + does[1:]


def _meanwhile(task: PlannedTask, visit: PlannedVisit) -> Iterable[Taken]:
    """What a task takes while somebody is at it: of what runs by itself, the bar of that says."""
    return task.taken if visit.kind == "hands" else ()


def _holds(names: Names) -> Iterator[Bar]:
    """What waits: what is taken from one place bit by bit is one bar until the last of it goes."""
    last = {t.batch: t for t in sorted(names.plan.tasks, key=lambda t: t.end)}
    by_step = {(t.batch, t.step, t.load): t for t in names.plan.tasks}
    together: dict[tuple[object, ...], list[PlannedHold]] = defaultdict(list)
    for hold in names.plan.holds:
        if hold.start < hold.end:
            parts = hold.source, hold.step, hold.by_product, hold.load, hold.store, hold.unit
            together[*parts, hold.start].append(hold)
    for parted in together.values():
        parted.sort(key=lambda h: h.end)
        hold = parted[-1]
        task = by_step.get((hold.source, hold.step or PLATING, hold.load)) or last.get(hold.source)
        place, where = hold.unit or hold.store, "at the bench"
        if place:
            where = names.unit(place) if hold.unit else names.store(place)
        shelves = sum(h.shelves for h in parted)
        how_much = several(shelves, "shelf", "shelves") if shelves else ""
        yield Bar(
            "waits", hold.start, hold.end, names.held(hold),
            _told(f"waits: {', '.join(_told(where, how_much))}", *_takers(names, parted)),
            names.section_of(task) if task else _section_of_lot(names, hold.source), (),
            (Place(place, hold.start, hold.end, how_much),)
            if place and (shelves or hold.unit) else (),
            hold.source, task.id if task else (hold.consumer or ""),
        )  # fmt: skip


def _takers(names: Names, parted: list[PlannedHold]) -> Iterator[str]:
    """A line for each part of what waits: how much, for what, how long it may still be held."""
    for hold in parted[:MOST_TAKERS]:
        left = hold_left(names, hold)
        until = f"until {names.moment(hold.end)}, " if len(parted) > 1 else ""
        yield f"{until}{hold.quantity}, {_waits(names, hold)}" + (f"; {left}" if left else "")
    if len(parted) > MOST_TAKERS:
        yield f"and {len(parted) - MOST_TAKERS} more"


def _waits(names: Names, hold: PlannedHold) -> str:
    """What something waits for."""
    if hold.kind == "plated":
        return "plated, to be served"
    if hold.kind == "leftover":
        return "left over"
    if hold.kind == "spare":
        return "nobody takes it"
    if hold.kind == "loads":
        return "for the other loads"
    taker = names.tasks.get(hold.consumer or "")
    if taker is None:
        return "kept"
    does = names.step(taker.batch, taker.step)
    own = taker.batch == hold.source
    return f"then: {does}" if own else f"for {names.batch(taker.batch)}, {does}"


def hold_left(names: Names, hold: PlannedHold) -> str:
    """How long something may still be held when the plan takes it up; empty: nobody says."""
    known = kept(names, hold)
    if known is None:
        return ""
    left, limit = names.length(known.limit - known.age), names.length(known.limit)
    if known.age > known.limit:
        return f"{names.length(known.age - known.limit)} too long, {limit} at most"
    return f"{left} left of {limit}"


def _section_of_lot(names: Names, lot: str) -> str:
    component = next((x.component for x in names.scenario.week.on_hand if x.id == lot), "")
    known = names.scenario.component.get(component)
    return known.section if known else ""


def _duties(names: Names) -> Iterator[Bar]:
    for planned in names.plan.duties:
        duty, span = duty_of(names.scenario, planned.duty), (planned.start, planned.end)
        places = []
        for use in duty.equipment if duty else ():
            units = names.scenario.units_of(use.equipment)
            if len(units) == 1:  # Which of several it takes is nobody's business but theirs.
                places.append(Place(units[0][1].id, *span, several(use.amount, "place")))
        for shelf in duty.stores if duty else ():
            places.append(Place(shelf.store, *span, several(shelf.shelves, "shelf", "shelves")))
        short = duty is not None and len(planned.people) < duty.people
        said = "standing duty, too few are left for it" if short else "standing duty"
        yield Bar(
            "duty", *span, names.duty(planned.duty), _told(said, _whose(names, planned.people)),
            (duty.section if duty else None) or "", planned.people, tuple(places),
        )  # fmt: skip


def _clean_downs(names: Names) -> Iterator[Bar]:
    for done in names.plan.clean_downs:
        unit = names.unit(done.unit)
        yield Bar(
            "clean", done.start, done.end, f"{unit}: {done.verb or 'clean down'}",
            _told(f"after {names.task(done.after)}, before {names.task(done.before)}",
                  _whose(names, done.people)),
            "", done.people, (Place(done.unit, done.start, done.end, ""),),
        )  # fmt: skip


def _places(names: Names, taken: Iterable[Taken]) -> tuple[Place, ...]:
    """Each use of a unit or a store, with how much of it is taken and at which setting."""
    found = []
    for use in taken:
        if use.store:
            said = several(use.amount, "shelf", "shelves")
        else:
            known = names.scenario.unit.get(use.unit or "")
            of = max([known[1].capacity or 1, *known[1].holds.values()]) if known else 1
            said = f"{use.amount} of {of}" if of > 1 else ""
        setting = f"{use.celsius} °C {use.mode or ''}".strip() if use.celsius is not None else ""
        told = ", ".join(_told(setting, said))
        found.append(Place(use.unit or use.store or "", use.start, use.end, told))
    return tuple(found)


def _whose(names: Names, people: Iterable[str]) -> str:
    return ", ".join(names.person(p) for p in people)


def _told(*lines: str) -> tuple[str, ...]:
    return tuple(line for line in lines if line)


def fed_by(names: Names) -> dict[str, tuple[str, ...]]:
    """Of each batch, lot and delivery the dishes that it ends on, by id, in the order of events."""
    takers: dict[str, set[str]] = defaultdict(set)
    for share in names.plan.shares:
        takers[share.source].add(share.consumer)
    found: dict[str, frozenset[str]] = {}

    def dishes(batch: str, above: frozenset[str]) -> frozenset[str]:
        if batch not in found:
            known = names.batches.get(batch)
            own = frozenset({known.dish}) if known and known.dish else frozenset()
            nexts = takers.get(batch, set()) - above
            found[batch] = own.union(*(dishes(n, above | {batch}) for n in sorted(nexts)))
        return found[batch]

    order = {c.dish: None for e in names.scenario.week.events for c in e.menu}
    sources = {*names.batches, *takers}
    return {b: tuple(d for d in order if d in dishes(b, frozenset({b}))) for b in sources}

"""Tasks that stay where somebody wants them: their start, people and units as narrower primitives.

    start: the first part starts at that tick, no sooner and no later
    people: of every crew the ways that are theirs (`manned_by`)
    equipment: of every choice of their kind the options on these units

No engine knows more of it than that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.domain.problems import nearest, one_of
from scheduler.plan.model import Kept
from scheduler.workload.asked import hands_asked, said
from scheduler.workload.builder import first
from scheduler.workload.primitives import HORIZON_START, Choice, Point, seats
from scheduler.workload.wishes import BY_HAND, with_person
from scheduler.workload.words import moment

if TYPE_CHECKING:
    from scheduler.domain.staying import Staying
    from scheduler.workload.builder import Builder
    from scheduler.workload.compiled import TaskRecord, VisitRecord
    from scheduler.workload.primitives import Line, Way


def add_kept(b: Builder, kept: Sequence[Staying]) -> tuple[Kept, ...]:
    """Narrow what each kept task may be; what cannot be whatever the times is a complaint.

    Returns
    -------
    tuple of Kept
        As the plan tells it.
    """
    records = {record.id: record for record in b.records}
    found = []
    for keep in kept:
        where = f"kept task {keep.task}"
        record = records.get(keep.task)
        start = None if keep.start is None else b.calendar.clock.since(keep.start)
        found.append(
            Kept(task=keep.task, start=start, people=keep.people, equipment=keep.equipment)
        )
        if record is None:
            what = "there is no such task with these recipes and counts"
            b.complaints.add(where, what, nearest(keep.task, records))
            continue
        if start is not None:
            _start(b, where, record, start)
        if keep.people:
            _people(b, where, record, keep.people)
        if keep.equipment:
            _units(b, where, record, keep.equipment)
    return tuple(found)


# -- when ------------------------------------------------------------------------


def _start(b: Builder, where: str, record: TaskRecord, minute: int) -> None:
    """Its first part starts at that minute."""
    scenario, grid = b.scenario, b.grid
    tick, off = divmod(minute, grid)
    when = moment(scenario, minute)
    if record.began is not None:
        if minute != record.began:
            began = moment(scenario, record.began)
            b.complaints.add(where, f"it cannot start {when}: it has been running since {began}")
    elif off:
        b.complaints.add(
            where,
            f"{when} is between two moments of the grid of {grid} min",
            moment(scenario, tick * grid),
        )
    elif tick < b.calendar.now:
        now = moment(scenario, b.calendar.now * grid)
        b.complaints.add(where, f"{when} is before planning begins ({now})")
    elif tick >= b.calendar.horizon:
        b.complaints.add(where, f"{when} is after the week")
    else:
        point = first(record)
        task = b.tasks[point.task]
        b.link(Point(HORIZON_START), point, tick, tick)
        b.tasks[point.task] = replace(
            task, earliest=max(task.earliest, tick), latest=min(task.latest, tick + task.most)
        )


# -- who -------------------------------------------------------------------------


def _people(b: Builder, where: str, record: TaskRecord, people: Sequence[str]) -> None:
    known = b.person
    unknown = [name for name in people if name not in known]
    for name in unknown:
        b.complaints.add(where, f"there is nobody called '{name}'", nearest(name, known))
    if unknown:
        return
    who = tuple(dict.fromkeys(known[name] for name in people))
    visits = [v for v in record.visits if v.kind in BY_HAND] or record.visits
    if not visits:
        b.complaints.add(where, "it needs nobody's hands, so it cannot be kept for anybody")
    for visit in visits:
        if not _manned(b, visit, who):
            work = b.built[record.batch].batch
            asked = said(*hands_asked(b.scenario, work, record.step, visit.kind, visit.index))
            b.complaints.add(
                where, f"{visit.verb} cannot be {' and '.join(people)}'s: it asks for {asked}"
            )


def _manned(b: Builder, visit: VisitRecord, who: tuple[int, ...]) -> bool:
    """Narrow one visit to some people; False where they cannot do it."""
    if visit.kind in BY_HAND:
        crew = b.crews[visit.item]
        ways = manned_by(crew.ways, who)
        b.crews[visit.item] = replace(crew, ways=ways or crew.ways)
        return bool(ways)
    item = b.tends[visit.item] if visit.kind == "tend" else b.adds[visit.item]
    lines = next(iter(_theirs(item.lines, who)), None)
    if lines is None:
        return False
    if visit.kind == "tend":
        b.tends[visit.item] = replace(b.tends[visit.item], lines=lines)
    else:
        b.adds[visit.item] = replace(b.adds[visit.item], lines=lines)
    return True


def manned_by(ways: Sequence[Way], who: tuple[int, ...]) -> tuple[Way, ...]:
    """The ways that are some people's: with as many hands if there are any, else all.

    Fewer hands are of some of them, more hands of all of them and others.
    """
    found = [replace(way, lines=lines) for way in ways for lines in _theirs(way.lines, who)]
    exact = [way for way in found if len(seats(way.lines)) == len(who)]
    return tuple(exact or found)


def _theirs(lines: tuple[Line, ...], who: tuple[int, ...]) -> list[tuple[Line, ...]]:
    """Lines narrowed to some people, in every way in which all of them can be among many."""
    if len(seats(lines)) <= len(who):
        only = tuple(replace(x, people=tuple(p for p in x.people if p in who)) for x in lines)
        return [only] if all(len(x.people) >= x.count for x in only) else []
    options = [lines]
    for person in who:
        options = [narrowed for some in options for narrowed in with_person(some, person)]
    return options


# -- on what ---------------------------------------------------------------------


def _units(b: Builder, where: str, record: TaskRecord, units: Sequence[str]) -> None:
    """Kind by kind: its uses on these units only, or where there are fewer one on each."""
    named: dict[str, list[str]] = {}
    for unit in dict.fromkeys(units):
        if unit not in b.kinds.kind_of:
            maybe = nearest(unit, b.kinds.kind_of)
            b.complaints.add(where, f"there is no unit '{unit}'", maybe)
        else:
            named.setdefault(b.kinds.kind_of[unit].id, []).append(unit)
    uses: dict[str, list[int]] = {}
    for one in (*record.taken, *(t for v in record.visits for t in v.taken)):
        option = b.choices[b.uses[one.use].choice].options[0]
        kind = b.holders[option.resource].kind
        if kind is not None:
            uses.setdefault(kind, []).append(one.use)
    for kind, wanted in named.items():
        if kind not in uses:
            takes = f"it takes {one_of(uses)}" if uses else "it takes no machine"
            b.complaints.add(where, f"it is not on {' or '.join(wanted)}: {takes}")
        elif b.kinds.counted[kind]:
            if len(b.kinds.each[kind]) > 1:
                b.complaints.add(
                    where,
                    f"it cannot be kept on {' or '.join(wanted)}: of {kind} several are taken at "
                    "once, or some by visits, so they only count",
                    "its start or its people",
                )
        elif len(wanted) >= len(uses[kind]):
            for use in uses[kind]:
                _on(b, where, use, wanted)
        else:
            for use, unit in zip(uses[kind], wanted, strict=False):
                _on(b, where, use, [unit])


def _on(b: Builder, where: str, use: int, units: Sequence[str]) -> None:
    """Narrow the choice of one use to some units."""
    choice = b.uses[use].choice
    resources = {b.unit[unit] for unit in units}
    options = tuple(o for o in b.choices[choice].options if o.resource in resources)
    if not options:
        b.complaints.add(where, f"it does not fit on {' or '.join(units)}, or may not be there")
        return
    b.choices[choice] = Choice(b.choices[choice].batch, options)

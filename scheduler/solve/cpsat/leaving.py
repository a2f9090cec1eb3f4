"""Stepping away: short hands before, after or inside a job that may be left."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from scheduler.solve.cpsat.capacity import fit
from scheduler.solve.cpsat.model import VISIT, Hands, Load, Manning
from scheduler.solve.cpsat.timeline import At
from scheduler.workload.primitives import way_taken

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Lit, Model, View
    from scheduler.workload.primitives import Leave


@dataclass(slots=True)
class _Left:
    """A job that may be left: who is at it, and who is away from it."""

    leave: Leave
    work: int
    hands: list[Load] = field(default_factory=list)
    away: list[tuple[int, Load, bool, Lit]] = field(default_factory=list)
    """Person, what they do meanwhile, is it a break, and whether that is so."""


def add_leavings(model: Model) -> None:
    """Everybody is at one thing at a time, but for leavings.

    For a job [s, e) that may be left and short hands [a, b) of the same
    person: b <= s, or a >= e, or inside: a >= s + lead and b <= e - tail.
    Two inside are `apart` from each other; at most `times` are inside, breaks
    not counted; e - s >= work + the length of all that is inside.
    """
    left: dict[tuple[int, int], _Left] = {}
    for p in sorted(_concerned(model)):
        model.units.add("people")
        hands = [*model.at_hands.get(p, ()), *_frozen(model, p)]
        jobs = [h for h in hands if h.of.leave is not None]
        rest = [h for h in hands if h.of.leave is None]
        fit(model, [h.load for h in rest], 1)
        if not jobs:
            continue
        model.units.add("leavings")
        short = [h for h in rest if any(_could(j, h) for j in jobs)]
        long = [h for h in rest if not any(_could(j, h) for j in jobs)]
        fit(model, [h.load for h in (*jobs, *long)], 1)
        for job in jobs:
            assert job.of.leave is not None
            one = left.setdefault(job.of.key, _Left(job.of.leave, job.of.work))
            one.hands.append(job.load)
            for h in short:
                lit = _pair(model, job, h)
                if lit is not False:
                    one.away.append((p, h.load, h.of.rest, lit))
    for job_left in left.values():
        _enough(model, job_left)


def _concerned(model: Model) -> set[int]:
    """Who has something that is not frozen, and who is at a frozen job with one of them."""
    found = set(model.at_hands)
    for c, people in model.scope.base.crews.items():
        crew = model.problem.crews[c]
        if crew.leave is not None and model.scope.frozen_task(crew.task) and found & set(people):
            found.update(people)
    return found


def _frozen(model: Model, p: int) -> list[Hands]:
    """What a person does that stays where it is."""
    found = []
    for start, end, c in model.scope.spells[p]:
        a, b = At(None, None, start, start, start), At(None, None, end, end, end)
        load, of = Load(a, b, end - start, end - start, 1, True), VISIT
        if c is not None:
            crew = model.problem.crews[c]
            fits = [
                way.least
                for way in crew.ways
                if way_taken(replace(crew, ways=(way,)), model.scope.base.crews[c], end - start)
                is not None
            ]
            of = Manning(crew.leave, crew.rest, (c, -1), min(fits, default=0))
        found.append(Hands(load, of))
    return found


def _could(job: Hands, other: Hands) -> bool:
    """Could a job ever be left for something?"""
    leave = job.of.leave
    if leave is None:
        return False
    if other.of.rest:
        return leave.breaks
    return bool(leave.times) and 0 < other.load.least <= leave.longest


def _pair(model: Model, job: Hands, other: Hands) -> Lit:
    """Before, after or inside; the literal of inside."""
    one, two, leave = job.load, other.load, job.of.leave
    assert leave is not None
    if two.end.high <= one.start.low or two.start.low >= one.end.high:
        return False
    ways: list[Lit] = []
    if two.end.low <= one.start.high:
        before = model.literal(lambda view: view.time(two.end) <= view.time(one.start))
        model.at_least(one.start, two.end, 0, before)
        ways.append(before)
    if two.start.high >= one.end.low:
        after = model.literal(lambda view: view.time(two.start) >= view.time(one.end))
        model.at_least(two.start, one.end, 0, after)
        ways.append(after)
    inside: Lit = False
    if _could(job, other) and _reaches(one, two, leave):

        def within(view: View) -> bool:
            there = model.holds(one.lit, view) and model.holds(two.lit, view)
            start, end = view.time(two.start), view.time(two.end)
            return there and view.time(one.start) <= start and end <= view.time(one.end)

        inside = model.literal(within)
        model.at_least(two.start, one.start, leave.lead, inside)
        model.at_least(one.end, two.end, leave.tail, inside)
        for lit in (one.lit, two.lit):
            if not isinstance(lit, bool):
                model.cp.add_implication(inside, lit)
        if not other.of.rest and two.most > leave.longest:
            model.at_least(two.start, two.end, -leave.longest, inside)
        ways.append(inside)
    absent = [~lit for lit in (one.lit, two.lit) if not isinstance(lit, bool)]
    model.cp.add_bool_or([*ways, *absent])
    return inside


def _reaches(job: Load, other: Load, leave: Leave) -> bool:
    """Whether their windows let one lie inside the other."""
    early = other.start.high >= job.start.low + leave.lead
    return early and other.end.low <= job.end.high - leave.tail


def _enough(model: Model, job: _Left) -> None:
    """Not too often, apart, and enough work."""
    if not job.away:
        return
    often = [lit for _, _, rest, lit in job.away if not rest]
    if len(often) > job.leave.times:
        model.cp.add(cp_model.LinearExpr.sum(often) <= job.leave.times)
    still = [(load, lit) for _, load, rest, lit in job.away if rest and load.still]
    lost: list[cp_model.LinearExprT] = [
        load.least * lit if load.least == load.most else _length(model, load, lit)
        for _, load, rest, lit in job.away
        if not (rest and load.still)
    ]
    edges = sorted({at.offset for load, _ in still for at in (load.start, load.end)})
    for a, b in pairwise(edges):
        over = [lit for load, lit in still if load.start.offset <= a and b <= load.end.offset]
        if over:
            lost.append((b - a) * _any(model, over))
    lost += [-once for once in _at_once(model, job)]
    away = cp_model.LinearExpr.sum(lost)
    for load in job.hands:
        model.when(_lasts(model, load) - away >= job.work, load.lit)
    by_person: dict[int, list[tuple[Load, Lit]]] = defaultdict(list)
    for p, load, _, lit in job.away:
        by_person[p].append((load, lit))
    for found in by_person.values():
        for i, (one, lit) in enumerate(found):
            for two, lit2 in found[:i]:
                _apart(model, one, lit, two, lit2, job.leave.apart)


def _at_once(model: Model, job: _Left) -> list[cp_model.IntVar]:
    """What breaks that move have in common: time that is lost once.

    For two of different people: o <= end - start of either to the other, 0 unless both are
    inside. Of several people each is held against the next one only, which is never too much.
    """
    rests = [(p, load, lit) for p, load, rest, lit in job.away if rest and not load.still]
    people = sorted({p for p, _, _ in rests})
    found = []
    for one, two in pairwise(people):
        for p, a, lit in rests:
            for q, b, lit2 in rests:
                if (p, q) != (one, two):
                    continue

                def common(
                    view: View, a: Load = a, b: Load = b, lit: Lit = lit, lit2: Lit = lit2
                ) -> int:
                    if not (model.holds(lit, view) and model.holds(lit2, view)):
                        return 0
                    first = max(view.time(a.start), view.time(b.start))
                    return max(0, min(view.time(a.end), view.time(b.end)) - first)

                o = model.integer(0, min(a.most, b.most), common)
                there = model.literal(lambda view, f=common: f(view) > 0)  # type: ignore[misc]
                for x in (lit, lit2):
                    if not isinstance(x, bool):
                        model.cp.add_implication(there, x)
                model.when(o == 0, ~there)
                for start, end in ((a.start, b.end), (b.start, a.end)):
                    apart = start.distance(end)
                    reach = model.gap(start, end) if apart is None else apart
                    model.when(reach - o >= 0, there)
                found.append(o)
    return found


def _any(model: Model, lits: list[Lit]) -> Lit:
    """The literal of "one of these"."""
    if len(lits) == 1:
        return lits[0]
    y = model.literal(lambda view: any(model.holds(lit, view) for lit in lits))
    for lit in lits:
        model.when(y == 1, lit)
    return y


def _length(model: Model, load: Load, lit: Lit) -> cp_model.IntVar:
    """How long somebody is away, nothing where they are not: d >= end - start where `lit`."""

    def lasts(view: View) -> int:
        return view.time(load.end) - view.time(load.start) if model.holds(lit, view) else 0

    d = model.integer(0, load.most, lasts)
    model.when(_lasts(model, load) - d <= 0, lit)
    return d


def _lasts(model: Model, load: Load) -> cp_model.LinearExpr | int:
    """end - start."""
    known = load.start.distance(load.end)
    return known if known is not None else model.gap(load.start, load.end)


def _apart(model: Model, one: Load, lit: Lit, two: Load, lit2: Lit, apart: int) -> None:
    first = model.literal(lambda view: view.time(one.end) <= view.time(two.start))
    model.at_least(two.start, one.end, apart, first, lit, lit2)
    model.at_least(one.start, two.end, apart, ~first, lit, lit2)

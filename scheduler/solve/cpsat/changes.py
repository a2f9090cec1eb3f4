"""The band of changes: who is told of which jobs, against the plan on the wall."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from scheduler.domain.changing import CHANGE, FARTHEST, JOB, NEAR, PERSON, SOON, moved, nearness
from scheduler.solve.changes import at_it, changed
from scheduler.solve.cpsat.timeline import At

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from scheduler.solve.cpsat.model import Lit, Model, View
    from scheduler.workload.primitives import Changes, JobWas


def add_changes(model: Model) -> None:
    """changes = PERSON x sum of told_p + sum over jobs of near x (JOB x changed + quarters).

    changed and told_p are at least what each job makes of them, quarters at least the whole
    quarters of an hour that it moves (FARTHEST where it moves further); all are minimised.
    """
    of = model.problem.changes
    if of is None:
        return
    model.units.add("changes")
    told = _Told(model, of)
    for job in of.jobs:
        batch = job.batch
        if batch < 0 or batch in model.scope.frozen or model.present[batch] is False:
            base = model.scope.base
            there = batch >= 0 and batch in model.scope.frozen
            price, people = changed(model.problem, of, job, base) if there else _gone(model, job)
            model.changes.constant += price
            told.known |= people
        else:
            _job(model, of, job, told)
    model.changes.constant += PERSON * len(told.known)
    for p, lits in told.lits.items():
        if p in told.known:
            continue
        real = [lit for lit in lits if not isinstance(lit, bool)]

        def is_told(view: View, real: list[cp_model.BoolVarT] = real) -> bool:
            return any(model.holds(lit, view) for lit in real)

        one = model.literal(is_told)
        for lit in real:
            model.cp.add_implication(lit, one)
        model.changes.terms.append(PERSON * one)


class _Told:
    """Who is told for sure, and what makes others be told."""

    def __init__(self, model: Model, of: Changes) -> None:
        self.model, self.of = model, of
        self.known: set[int] = set()
        self.lits: dict[int, list[Lit]] = defaultdict(list)

    def when(self, lit: Lit, people: frozenset[int]) -> None:
        """They are told where that holds."""
        if lit is True:
            self.known |= people
        elif lit is not False:
            for p in people:
                self.lits[p].append(lit)


def _gone(model: Model, job: JobWas) -> tuple[int, frozenset[int]]:
    """A job that has no place at all."""
    if job.start is None or model.problem.changes is None:
        return 0, frozenset()
    grid = model.problem.grid
    return nearness(job.start * grid, model.problem.changes.now * grid) * JOB, job.people


def _job(model: Model, of: Changes, job: JobWas, told: _Told) -> None:
    """One job that may move: changed, and who is told of it."""
    grid, present = model.problem.grid, model.present[job.batch]
    start = model.time.span(job.task)[0]
    at = _hands(model, job)
    if job.start is None:
        _new(model, of, job, start, at, told)
        return
    was, near = job.start, nearness(job.start * grid, of.now * grid)
    few = -(-CHANGE // grid) - 1
    reach = max(start.high - was, was - start.low)
    moves: Lit = False
    if reach > few:

        def has_moved(view: View) -> bool:
            times = view.solution.times.get(job.task)
            return times is not None and moved((times[0] - was) * grid) > 0

        moves = model.literal(has_moved)
        model.at_least(start, _tick(was - few), 0, present, ~moves)
        model.at_least(_tick(was + few), start, 0, present, ~moves)
        model.changes.terms.append(near * _quarters(model, job, start, reach))
    told.when(moves, job.people)

    def is_changed(view: View) -> bool:
        return bool(changed(model.problem, of, job, view.solution)[0])

    other = model.literal(is_changed)
    if not isinstance(moves, bool):
        model.cp.add_implication(moves, other)
    if not isinstance(present, bool):
        model.cp.add_implication(~present, other)
        told.when(~present, job.people)
    for p, lits in at.items():
        if p in job.people:
            continue
        for lit in lits:
            model.when(other == 1, lit)
            told.when(lit, frozenset((p,)))
    for p in job.people:

        def leaves(view: View, p: int = p) -> bool:
            placed = job.task in view.solution.times
            return placed and p not in at_it(job, view.solution)

        out = model.literal(leaves)
        absent: list[Lit] = [] if isinstance(present, bool) else [~present]
        model.cp.add_bool_or([*at.get(p, ()), out, *absent])
        model.cp.add_implication(out, other)
        told.when(out, frozenset((p,)))
    model.changes.terms.append(near * JOB * other)


def _new(
    model: Model, of: Changes, job: JobWas, start: At, at: dict[int, list[Lit]], told: _Told
) -> None:
    """A job that there was not: everybody at it is told; it costs more if it is soon."""
    present, horizon = model.present[job.batch], of.now + -(-SOON // model.problem.grid)
    if present is True:
        model.changes.constant += JOB
    elif not isinstance(present, bool):
        model.changes.terms.append(JOB * present)
    for p, lits in at.items():
        for lit in lits:
            told.when(lit, frozenset((p,)))
    if start.low >= horizon:
        return

    def is_soon(view: View) -> bool:
        times = view.solution.times.get(job.task)
        return times is not None and times[0] < horizon

    soon = model.literal(is_soon)
    model.at_least(start, _tick(horizon), 0, present, ~soon)
    model.changes.terms.append((NEAR - 1) * JOB * soon)


def _quarters(model: Model, job: JobWas, start: At, reach: int) -> cp_model.IntVar:
    """Whole quarters of an hour between where it was and is; FARTHEST beyond a day."""
    grid, present, was = model.problem.grid, model.present[job.batch], job.start or 0

    def told(view: View) -> int:
        times = view.solution.times.get(job.task)
        return 0 if times is None else moved((times[0] - was) * grid)

    most = min(FARTHEST, reach * grid // CHANGE)
    quarters = model.integer(0, most, told)
    far: Lit = False
    if reach * grid // CHANGE > FARTHEST:
        far = model.literal(lambda view: told(view) >= FARTHEST)
        model.when(quarters >= FARTHEST, far)
    near: tuple[Lit, ...] = () if isinstance(far, bool) else (~far,)
    for side in (1, -1):
        minutes = side * grid * (start.expr - was)
        model.when(CHANGE * quarters + CHANGE - 1 >= minutes, present, *near)
    return quarters


def _hands(model: Model, job: JobWas) -> dict[int, list[Lit]]:
    """For everybody who may be at a job the literals of their being there."""
    found: dict[int, list[Lit]] = defaultdict(list)
    keys = [("crew", n) for n in job.crews] + [("tend", n) for n in job.tends]
    keys += [("add", n) for n in job.adds]
    for (kind, n, _), lines in model.hands.items():
        if (kind, n) in keys:
            for line in lines:
                for p, lit in line.items():
                    if lit is not False:
                        found[p].append(lit)
    return found


def _tick(tick: int) -> At:
    return At(None, None, tick, tick, tick)

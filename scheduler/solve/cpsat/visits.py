"""Visits inside a task: tending by gaps or in windows, adding at an offset."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.hands import staff
from scheduler.solve.cpsat.model import Load
from scheduler.solve.cpsat.ranges import Ranges, meet, starts, union
from scheduler.solve.cpsat.timeline import At

if TYPE_CHECKING:
    from collections.abc import Callable

    from scheduler.solve.cpsat.model import Lit, Model, View
    from scheduler.workload.primitives import Add, Placed, Tend

    Find = Callable[[View], Placed | None]


def add_tends(model: Model) -> None:
    """Tending of every task that is there, see `_chain` and `_windows`; made visits stand in the
    past, where nothing else moves."""
    for n, tend in enumerate(model.problem.tends):
        task = model.problem.tasks[tend.task]
        present = model.present[task.batch]
        if task.batch in model.scope.frozen:
            _keep(model, tend, model.scope.base.tends.get(n, ()))
        elif present is not False:
            model.units.add("tends")
            if tend.gap is not None:
                _chain(model, n, tend, tend.gap, present)
            else:
                _windows(model, n, tend, present)


def add_adds(model: Model) -> None:
    """least <= visit - start_t <= most, the visit inside t, clear of t's other visits."""
    for n, add in enumerate(model.problem.adds):
        task = model.problem.tasks[add.task]
        present = model.present[task.batch]
        if task.batch in model.scope.frozen:
            placed = model.scope.base.adds.get(n)
            _keep(model, add, () if placed is None else (placed,))
            continue
        if present is False:
            continue
        model.units.add("adds")
        start, end = model.time.span(add.task)

        def find(view: View, n: int = n) -> Placed | None:
            return view.solution.adds.get(n)

        if add.least == add.most:
            at = start.plus(add.least)
        else:
            low, high = start.low + add.least, start.high + add.most
            at = _moment(model, add, low, high, present, find)
            model.at_least(at, start, add.least, present)
            model.at_least(start, at, -add.most, present)
        _inside(model, add, at, start, end, present)
        _visit(model, "add", n, 0, add, at, present, find)
    _apart(model)


def _chain(model: Model, n: int, tend: Tend, gap: tuple[int, int], present: Lit) -> None:
    """A chain of visits v_1, v_2, … that are there in order (a_k+1 <= a_k).

    gap[0] <= v_k - e_k-1 <= gap[1] where a_k, with e_0 = start - since and
    e_k = v_k + length; v_k >= start, e_k <= end; end - e_k <= gap[1] for the
    last k that is there. So many are certain as the shortest task needs.
    """
    task = model.problem.tasks[tend.task]
    start, end = model.time.span(tend.task)
    shortest, longest = task.least + tend.since, task.most + tend.since
    step = max(gap[0] + tend.length, 1)
    most = longest // step
    least = max(0, -(-(shortest - gap[1]) // max(gap[1] + tend.length, 1)))
    last, there = start.plus(-tend.since), present
    for k in range(most):

        def find(view: View, k: int = k) -> Placed | None:
            visits = view.solution.tends.get(n, ())[len(tend.made) :]
            return visits[k] if k < len(visits) else None

        here = present
        if k >= least:
            here = model.literal(lambda view, f=find: f(view) is not None)  # type: ignore[misc]
            _implies(model, here, there)
            model.at_least(last, end, -gap[1], there, ~here)
        earliest = start.low - tend.since + (k + 1) * gap[0] + k * tend.length
        low = max(start.low, earliest, tend.earliest)
        at = _moment(model, tend, low, end.high - tend.length, here, find)
        model.at_least(at, last, gap[0], here)
        model.at_least(last, at, -gap[1], here)
        _inside(model, tend, at, start, end, here)
        _visit(model, "tend", n, k, tend, at, here, find)
        last, there = at.plus(tend.length), here
    model.at_least(last, end, -gap[1], there)


def _windows(model: Model, n: int, tend: Tend, present: Lit) -> None:
    """One visit in every window [a, b) with start <= a and b <= end, none besides.

    The windows of one tend are disjoint.
    """
    start, end = model.time.span(tend.task)
    k = 0
    for a, b in sorted(tend.windows):
        if start.low > a or end.high < b:
            continue
        begins = _reified(model, start, a, True)
        lasts = _reified(model, end, b, False)
        here = model.every(present, begins, lasts)
        if b - a < tend.length:
            model.when(False, here)
            continue

        def find(view: View, a: int = a, b: int = b) -> Placed | None:
            visits = view.solution.tends.get(n, ())[len(tend.made) :]
            return next((v for v in visits if a <= v.start and v.end <= b), None)

        at = _moment(model, tend, a, b - tend.length, here, find)
        _visit(model, "tend", n, k, tend, at, here, find)
        k += 1


def _reified(model: Model, at: At, tick: int, before: bool) -> Lit:
    """at <= tick (`before`) or at >= tick, as a literal."""
    if before:
        if at.high <= tick:
            return True
        lit = model.literal(lambda view: view.time(at) <= tick)
        fixed = At(None, None, tick, tick, tick)
        model.at_least(fixed, at, 0, lit)
        model.at_least(at, fixed, 1, ~lit)
        return lit
    if at.low >= tick:
        return True
    lit = model.literal(lambda view: view.time(at) >= tick)
    fixed = At(None, None, tick, tick, tick)
    model.at_least(at, fixed, 0, lit)
    model.at_least(fixed, at, 1, ~lit)
    return lit


def _moment(model: Model, of: Tend | Add, low: int, high: int, here: Lit, find: Find) -> At:
    """The start of a visit; at its earliest where it is not there."""
    values: Ranges = ((low, max(low, high)),)
    if model.encoding.tighten:
        for line in of.lines:
            hours = (model.scope.hours(p, None) for p in line.people)
            able = union(r for there in hours for r in starts(there, of.length))
            values = meet(values, able) or values
    first = values[0][0]

    def when(view: View) -> int:
        placed = find(view)
        return first if placed is None else placed.start

    at = model.moment(values, when)
    model.rest(at, here)
    return at


def _inside(model: Model, of: Tend | Add, at: At, start: At, end: At, here: Lit) -> None:
    model.at_least(at, start, 0, here)
    model.at_least(end, at, of.length, here)


def _visit(
    model: Model, kind: str, n: int, k: int, of: Tend | Add, at: At, here: Lit, find: Find
) -> None:
    """Its people, and what it takes while it lasts."""

    def who(view: View) -> tuple[int, ...]:
        placed = find(view)
        return () if placed is None else placed.people

    load = Load(at, at.plus(of.length), of.length, of.length, 1, here)
    model.hands[kind, n, k] = staff(model, of.lines, load, who)
    model.visits.setdefault((kind, n), []).append((at, here))
    for use in of.uses:
        model.units.add("visit uses")
        taken = Load(load.start, load.end, of.length, of.length, use.amount, here)
        model.of_resource[use.resource].append(taken)


def _keep(model: Model, of: Tend | Add, visits: tuple[Placed, ...]) -> None:
    """What the visits of a frozen task take (their people are off `there` already)."""
    for visit in visits:
        start = At(None, None, visit.start, visit.start, visit.start)
        for use in of.uses:
            load = Load(start, start.plus(of.length), of.length, of.length, use.amount, True)
            model.of_resource[use.resource].append(load)


def _apart(model: Model) -> None:
    """An add overlaps no other visit of its task."""
    by_task: dict[int, list[tuple[At, int, Lit, bool]]] = {}
    for (kind, n), found in sorted(model.visits.items()):
        of: Tend | Add = model.problem.adds[n] if kind == "add" else model.problem.tends[n]
        for at, here in found:
            by_task.setdefault(of.task, []).append((at, of.length, here, kind == "add"))
    for found_here in by_task.values():
        for i, (one, length, here, added) in enumerate(found_here):
            for two, length2, here2, added2 in found_here[i + 1 :]:
                if not (added or added2):
                    continue
                first = model.literal(
                    lambda view, one=one, two=two, d=length: view.time(one) + d <= view.time(two)  # type: ignore[misc]
                )
                model.at_least(two, one, length, first, here, here2)
                model.at_least(one, two, length2, ~first, here, here2)


def _implies(model: Model, one: Lit, two: Lit) -> None:
    if not isinstance(one, bool) and not isinstance(two, bool):
        model.cp.add_implication(one, two)

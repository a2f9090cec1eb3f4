"""The band of money: overtime to the last end of anybody's work in it, rest from the first start.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.timeline import At
from scheduler.solve.objective import hands, of_each
from scheduler.solve.objective import money as cost
from scheduler.workload.primitives import Solution

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from scheduler.solve.cpsat.model import Hint, Load, Model, View
    from scheduler.workload.primitives import Extra, Used


def add_money(model: Model) -> None:
    """money >= (max(0, overtime - free) * hour / 60 + rest * rest_hour / 60 +
    max(0, spent - budget)) / step.

    overtime, rest = sum over extras x of each kind of used_x, used_x at least
    what each work of its person makes of it (see `_counts`) and what stays does.
    """
    problem, money = model.problem, model.problem.money
    if money is None:
        return
    kept = _kept(model)
    spent = 60 * max(0, problem.spent - money.budget)
    used = [_used(model, extra, kept[n]) for n, extra in enumerate(problem.extras)]
    model.cheapest = model.money.constant = cost(problem, of_each(problem, kept))
    if all(var is None for var in used):
        return
    model.units.add("money")
    sizes = of_each(problem, [extra.end - extra.start for extra in problem.extras])

    def ticks(view: View) -> Used:
        now = [kept[n] if var is None else var[1](view) for n, var in enumerate(used)]
        return of_each(problem, now)

    def total(rest: bool) -> cp_model.LinearExpr | int:
        return problem.grid * sum(
            (kept[n] if var is None else var[0])
            for n, var in enumerate(used)
            if problem.extras[n].rest == rest
        )

    overtime, eaten = total(False), total(True)
    model.overtime, model.eaten = overtime, eaten
    over = model.integer(
        0,
        problem.grid * sizes.overtime,
        lambda view: max(0, problem.grid * ticks(view).overtime - money.free),
    )
    model.cp.add(over >= overtime - money.free)
    steps = model.integer(0, cost(problem, sizes), lambda view: cost(problem, ticks(view)))
    model.cp.add(60 * money.step * steps >= money.hour * over + money.rest_hour * eaten + spent)
    model.money.constant = 0
    model.money.terms.append(steps)


def _kept(model: Model) -> list[int]:
    """What stays uses of each extra."""
    problem, base, frozen = model.problem, model.scope.base, model.scope.frozen_task
    stays = Solution(
        base.times,
        {},
        {c: who for c, who in base.crews.items() if frozen(problem.crews[c].task)},
        {n: v for n, v in base.tends.items() if frozen(problem.tends[n].task)},
        {n: v for n, v in base.adds.items() if frozen(problem.adds[n].task)},
        {n: base.cleans[n] for n in model.scope.kept},
    )
    kept = [0] * len(problem.extras)
    for p, start, end in hands(problem, stays):
        for n, extra in enumerate(problem.extras):
            if extra.person == p:
                kept[n] = max(kept[n], extra.used(start, end))
    return kept


def _used(model: Model, extra: Extra, kept: int) -> tuple[cp_model.IntVar, Hint] | None:
    """The variable of what is used of an extra and its hint; None where nothing can change it."""
    leaving = [h.load for h in model.at_hands.get(extra.person, ())]
    loads = [
        load
        for load in (*model.of_person.get(extra.person, ()), *leaving)
        if load.lit is not False
        and load.end.high > extra.start
        and load.start.low < extra.end
    ]
    if not loads:
        return None

    def hint(view: View) -> int:
        used = [
            extra.used(view.time(load.start), view.time(load.end))
            for load in loads
            if model.holds(load.lit, view)
        ]
        return max([kept, *used])

    var = model.integer(kept, extra.end - extra.start, hint)
    for load in loads:
        _counts(model, extra, load, var)
    return var, hint


def _counts(model: Model, extra: Extra, load: Load, used: cp_model.IntVar) -> None:
    """used >= end - first tick of the extra where the load is there (mirrored before a shift).

    Where it could also lie beyond the extra, or reach over its far end: one of
    beyond, inside, and all of it used.
    """
    size = extra.end - extra.start
    at = At(None, None, extra.start, extra.start, extra.start)
    far = At(None, None, extra.end, extra.end, extra.end)
    if extra.at_end:
        inside = used >= load.end.expr - extra.start
        simple = load.end.high <= extra.end
    else:
        inside = used >= extra.end - load.start.expr
        simple = load.start.low >= extra.start
    if simple:
        model.when(inside, load.lit)
        return

    def beyond(view: View) -> bool:
        if extra.at_end:
            return view.time(load.start) >= extra.end
        return view.time(load.end) <= extra.start

    def within(view: View) -> bool:
        if extra.at_end:
            return view.time(load.end) <= extra.end
        return view.time(load.start) >= extra.start

    def counts(view: View) -> bool:
        return model.holds(load.lit, view) and not beyond(view)

    away = model.literal(beyond)
    here = model.literal(lambda view: counts(view) and within(view))
    full = model.literal(lambda view: counts(view) and not within(view))
    if extra.at_end:
        model.at_least(load.start, far, 0, away)
    else:
        model.at_least(at, load.end, 0, away)
    model.when(inside, here)
    model.when(used >= size, full)
    there = [] if isinstance(load.lit, bool) else [~load.lit]
    model.cp.add_bool_or([*there, away, here, full])

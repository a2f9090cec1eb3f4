"""Capacities the second way: orderings of pairs, and the load at every start.

The cumulative is decomposed by tasks: at the start of each load, those that
are under way there fit (Schutt, Feydy, Stuckey and Wallace, "Why cumulative
decomposition is not as bad as it sounds", CP 2009, call it the task
decomposition; from memory).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from scheduler.solve.cpsat.model import Load

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Lit, Model, View


def add_pairs(model: Model, loads: list[Load], capacity: int, alone: bool) -> None:
    """sum of amounts <= capacity at every tick, without cumulative or no-overlap.

    Where no two fit together: start_j >= end_i or start_i >= end_j for every
    pair. Otherwise for every load i: amount_i + sum_j amount_j * under_ji <=
    capacity, with under_ji where start_j <= start_i < end_j.
    """
    loads = [filled(model, load) for load in loads]
    if alone:
        for i, one in enumerate(loads):
            for two in loads[i + 1 :]:
                _order(model, one, two)
        return
    for i, one in enumerate(loads):
        terms: list[cp_model.LinearExprT] = []
        for j, two in enumerate(loads):
            if i != j:
                under = _under(model, two, one)
                if under is not None:
                    terms.append(two.amount * under)
        if one.amount > capacity:
            model.when(False, one.lit)
        elif terms:
            total = cp_model.LinearExpr.sum(terms)
            model.when(total <= capacity - one.amount, one.lit)


def filled(model: Model, load: Load) -> Load:
    """What may be empty takes nothing then: its literal also says that it is not."""
    if load.least > 0:
        return load
    return replace(load, least=1, lit=model.longer(load.start, load.end, 0, load.lit))


def _order(model: Model, one: Load, two: Load) -> None:
    if one.end.high <= two.start.low or two.end.high <= one.start.low:
        return
    if one.lit is False or two.lit is False:
        return
    first = model.literal(lambda view: view.time(one.end) <= view.time(two.start))
    model.at_least(two.start, one.end, 0, first, one.lit, two.lit)
    model.at_least(one.start, two.end, 0, ~first, one.lit, two.lit)


def _under(model: Model, two: Load, one: Load) -> cp_model.IntVar | None:
    """A literal that is true at least where `two` is under way when `one` starts."""
    if two.start.low > one.start.high or two.end.high <= one.start.low:
        return None

    def under(view: View) -> bool:
        return (
            model.holds(one.lit, view)
            and model.holds(two.lit, view)
            and view.time(two.start) <= view.time(one.start) < view.time(two.end)
        )

    lit = model.literal(under)
    later = model.literal(lambda view: view.time(two.start) > view.time(one.start))
    gone = model.literal(lambda view: view.time(two.end) <= view.time(one.start))
    both: list[Lit] = [x for x in (one.lit, two.lit) if not isinstance(x, bool)]
    model.at_least(two.start, one.start, 1, later)
    model.at_least(one.start, two.end, 0, gone)
    model.cp.add_bool_or([lit, later, gone, *(~x for x in both if not isinstance(x, bool))])
    return lit

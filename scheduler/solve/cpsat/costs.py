"""Costs: minutes outside the best bands and prices, or the last end.

What only whole solutions have (`Problem.calm`) is not in the model: its optimum is a bound.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.timeline import At
from scheduler.workload.primitives import Point

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Lit, Model, View
    from scheduler.workload.primitives import Band, Dear


def add_bands(model: Model) -> None:
    """quality += band(time(after) - time(before)) for every link with a band, both ends there."""
    for link in model.problem.links:
        if link.band is None:
            continue
        there = model.every(model.here(link.before), model.here(link.after))
        if there is False:
            continue
        _cost(model, link.band, link.before, link.after, there)


def add_stretch(model: Model) -> None:
    """quality += stretch_t(end_t - start_t) for every task that is there."""
    for t, task in enumerate(model.problem.tasks):
        if task.stretch is None or model.present[task.batch] is False:
            continue
        _cost(model, task.stretch, Point(t), Point(t, True), model.present[task.batch])


def add_dear(model: Model) -> None:
    """quality += price where a task starts in [a, b): z >= there - (s < a) - (s >= b)."""
    for t, task in enumerate(model.problem.tasks):
        there = model.present[task.batch]
        if there is False:
            continue
        start = model.time.span(t)[0]
        for dear in task.dear:
            if start.high < dear.start or start.low >= dear.end or not dear.price:
                continue
            if start.low >= dear.start and start.high < dear.end:
                _price(model, dear.price, there)
                continue

            def inside(view: View, t: int = t, dear: Dear = dear) -> bool:
                begun = view.solution.times.get(t)
                return begun is not None and dear.start <= begun[0] < dear.end

            pays = model.literal(inside)
            sides: list[Lit] = []
            for low, high in ((start.low, dear.start - 1), (dear.end, start.high)):
                if low > high:
                    continue

                def beside(view: View, t: int = t, low: int = low, high: int = high) -> bool:
                    begun = view.solution.times.get(t)
                    return begun is not None and low <= begun[0] <= high

                side = model.literal(beside)
                model.at_least(start, At(None, None, low, low, low), 0, side)
                model.at_least(At(None, None, high, high, high), start, 0, side)
                sides.append(side)
            absent: list[Lit] = [] if isinstance(there, bool) else [~there]
            model.cp.add_bool_or([pays, *sides, *absent])
            _price(model, dear.price, pays)


def add_options(model: Model) -> None:
    """quality += price of the option that each choice takes."""
    for c, choice in enumerate(model.problem.choices):
        prices = [o.price for o in choice.options]
        if not any(prices) or model.present[choice.batch] is False:
            continue
        for price, lit in zip(prices, model.options.get(c, ()), strict=False):
            if price and lit is True:
                _price(model, price, model.present[choice.batch])
            elif price and lit is not False:
                _price(model, price, lit)


def _price(model: Model, price: int, lit: Lit) -> None:
    if lit is True:
        model.quality.constant += price
    elif lit is not False:
        model.quality.terms.append(price * lit)


def add_finish(model: Model) -> None:
    """quality = max over tasks that are there of end_t."""
    last = model.integer(
        0,
        model.problem.horizon,
        lambda view: max((end for _, end in view.solution.times.values()), default=0),
    )
    for t, task in enumerate(model.problem.tasks):
        present = model.present[task.batch]
        if present is not False:
            model.when(last >= model.time.span(t)[1].expr, present)
    model.quality.terms.append(last)


def _cost(model: Model, band: Band, first: Point, last: Point, there: Lit) -> None:
    """weight * (max(0, low - x) + max(0, x - high)) of x = grid * (end - start) minutes.

    Convex and minimised: two variables, each at least its side.
    """
    grid = model.problem.grid
    start, end = model.at(first), model.at(last)
    apart = start.distance(end)
    if band.weight == 0:
        return
    if apart is not None:
        cost = band.cost(grid * apart)
        if there is True:
            model.quality.constant += cost
        elif cost and not isinstance(there, bool):
            model.quality.terms.append(cost * there)
        return

    def above(view: View) -> int:
        minutes = grid * (view.time(end) - view.time(start))
        return max(0, minutes - band.high) if model.holds(there, view) else 0

    def below(view: View) -> int:
        minutes = grid * (view.time(end) - view.time(start))
        return max(0, band.low - minutes) if model.holds(there, view) else 0

    x = grid * model.gap(start, end)
    least, most = model.bounds.apart(first, last)
    if grid * most > band.high:
        sure = max(0, grid * least - band.high) if there is True else 0
        over = model.integer(sure, grid * most - band.high, above)
        model.when(over >= x - band.high, there)
        model.quality.terms.append(band.weight * over)
    if grid * least < band.low:
        sure = max(0, band.low - grid * most) if there is True else 0
        under = model.integer(sure, band.low - grid * least, below)
        model.when(under >= band.low - x, there)
        model.quality.terms.append(band.weight * under)

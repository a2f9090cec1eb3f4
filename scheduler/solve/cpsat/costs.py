"""Costs: minutes outside the best bands, or the last end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.primitives import Point

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Lit, Model, View
    from scheduler.workload.primitives import Band


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

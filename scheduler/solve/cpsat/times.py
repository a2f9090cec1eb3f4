"""Tasks: how long they last, where they may lie."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.solve.cpsat.model import Load
from scheduler.solve.cpsat.ranges import merged

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Model


def add_lengths(model: Model) -> None:
    """least_t <= end_t - start_t <= most_t for every task t that is there.

    Earliest and latest stand in the domains of the endpoints; a fixed length
    is one variable and a distance.
    """
    model.units.add("lengths")
    for t, task in enumerate(model.problem.tasks):
        present = model.present[task.batch]
        if task.batch in model.scope.frozen or present is False:
            continue
        start, end = model.time.span(t)
        model.at_least(end, start, task.least, present)
        model.at_least(start, end, -task.most, present)


def add_within(model: Model) -> None:
    """[start_t, end_t) inside one stretch of `within` for every task t that is there."""
    for t, task in enumerate(model.problem.tasks):
        present = model.present[task.batch]
        if task.within is None or task.batch in model.scope.frozen or present is False:
            continue
        model.units.add("within")
        start, end = model.time.span(t)
        load = Load(start, end, task.least, task.most, 1, present)
        model.inside(load, merged(task.within))


def add_resting_places(model: Model) -> None:
    """A batch that is left out sits at its lowest times: x = min(x) where it is not there.

    One value instead of many that mean the same.
    """
    for batch, roots in model.time.roots_of().items():
        present = model.present[batch]
        if isinstance(present, bool):
            continue
        for root in roots:
            rule = model.cp.add(model.time.roots[root] == model.time.lowest[root])
            rule.only_enforce_if(~present)

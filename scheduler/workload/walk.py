"""Walking back from the moment something must be ready, by shortest lengths alone."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.workload.amounts import ceil_div
from scheduler.workload.laws import Law, law
from scheduler.workload.model import Stage

if TYPE_CHECKING:
    from scheduler.domain.quantity import Dimension
    from scheduler.domain.recipes import Component, Dish, Hands, Step


def up(minutes: int, grid: int) -> int:
    """Minutes rounded up to the grid."""
    return ceil_div(minutes, grid) * grid


def quickest(span: Law, hands: tuple[Hands, ...]) -> Law:
    """A law with as many hands as may share the work."""
    return span.by(Fraction(max((line.up_to or 1 for line in hands), default=1)))


def shortest(
    step: Step, load: int, dimension: Dimension, component: Component | None, grid: int
) -> int:
    """Shortest length of one load from start of loading to end of unloading, minutes."""
    span = law(step.time, load, dimension, component)
    total = quickest(span, step.hands).ticks(grid)[0] * grid
    for visit in (step.load, step.unload):
        if visit is not None:
            span = law(visit.time, load, dimension, component)
            total += up(quickest(span, visit.hands).at_least, grid)
    return total


def plating_length(dish: Dish, portions: int, grid: int) -> int:
    """How long plating takes, minutes on the grid: 60 × portions / plates an hour."""
    return up(ceil_div(60 * portions, dish.plating.per_hour), grid)


def staged(
    steps: list[tuple[Step, tuple[int, ...], bool]],
    ready_by: int,
    dimension: Dimension,
    component: Component | None,
    grid: int,
) -> tuple[Stage, ...]:
    """Steps with the latest start of each so that all is ready by a moment.

    `steps` has each step with its loads and whether it is running already; a
    `then` of the last step is a wait as well.
    """
    stages: list[Stage] = []
    by = ready_by
    for step, loads, running in reversed(steps):
        if step.then is not None:
            by -= up(step.then.not_before, grid)
        by -= shortest(step, max(loads), dimension, component, grid)
        stages.append(Stage(step, loads, by, running))
    return tuple(reversed(stages))

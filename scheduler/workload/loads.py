"""Batches into loads, and how large a batch may be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.methods import bought_keeps, variants
from scheduler.workload.amounts import ceil_div, ceil_of, convert, equal_parts

if TYPE_CHECKING:
    from fractions import Fraction

    from scheduler.domain.quantity import Dimension
    from scheduler.domain.recipes import Component, Step
    from scheduler.workload.kinds import Kinds


def loads_of(
    step: Step, quantity: int, dimension: Dimension, component: Component | None, kinds: Kinds
) -> tuple[int, ...]:
    """The loads of a step, base units.

    n = ceil(quantity / largest unit's load) equal loads where the step is in
    loads, otherwise all of it.
    """
    largest = kinds.load(step, dimension, component) if step.in_loads else None
    if not largest:
        return (quantity,)
    return equal_parts(quantity, max(1, ceil_div(quantity, largest)))


def fits_all(component: Component) -> Component:
    """The component with the shortest hold of all the ways of getting it: batches fit them all."""
    bought = component.bought_in
    if bought is None or bought.at_most is None:
        return component
    keep = component.keeps[0]
    if bought.at_most >= keep.at_most:
        return component
    shortest = bought_keeps(component)[0].at_most
    keep = keep.model_copy(update={"at_most": shortest})
    return component.model_copy(update={"keeps": (keep, *component.keeps[1:])})


def largest_batch(component: Component, kinds: Kinds) -> int | None:
    """The largest weigh-up that fits every method: the recipe's own, or the smallest whole step."""
    dimension = component.makes.dimension
    caps = [
        kinds.load(step, dimension, component)
        for made in variants(component)
        for step in made.steps
        if not step.in_loads
    ]
    if component.batch.most is not None:
        most = component.batch.most
        caps.append(int(convert(most.base, most.dimension, dimension, component)))
    return min((c for c in caps if c is not None), default=None)


def least_batch(component: Component) -> int:
    """The smallest weigh-up, base units."""
    least = component.batch.least
    if least is None:
        return 0
    return ceil_of(
        convert(least.base, least.dimension, component.makes.dimension, component)
    )


def weighed(good: int | Fraction, component: Component) -> int:
    """What must be weighed up so that `good` is left: ceil(good / (1 - loss))."""
    return ceil_of(good / (1 - component.loss.part))

"""Follows what a batch or a lot gives, through the shares of a plan, to every plate."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.cooked import goes_on

if TYPE_CHECKING:
    from scheduler.domain.recipes import Step
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import Share


@dataclass(frozen=True, slots=True)
class Leg:
    """From where something goes into a batch (by a share; none: it begins there) to its end."""

    making: Making
    first: int
    share: Share | None = None

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The stages it goes through."""
        return self.making.stages[self.first :]

    @property
    def steps(self) -> Iterator[Step]:
        """The same as they are written; plating is none."""
        return (stage.step for stage in self.stages if stage.step is not None)


Way = tuple[Leg, ...]


def ways_to_plates(
    facts: Facts, source: str, over: Callable[[Leg], bool]
) -> Iterator[tuple[Leg, ...]]:
    """Every way to a dish's batch, but for those on which it is `over` on some leg."""
    begins = facts.makings.get(source)
    legs: Way = () if begins is None else (Leg(begins, 0),)
    if not any(over(leg) for leg in legs):
        yield from _onward(facts, source, legs, over)


def _onward(
    facts: Facts, source: str, way: Way, over: Callable[[Leg], bool]
) -> Iterator[tuple[Leg, ...]]:
    past = {leg.making.id for leg in way}
    for share in facts.shares_from.get(source, ()):
        making = facts.makings.get(share.consumer)
        stage = making.stage(share.step) if making is not None else None
        if making is None or stage is None or making.id in past:
            continue
        leg = Leg(making, stage.index, share)
        if over(leg):
            continue
        if making.dish is not None:
            yield (*way, leg)
        else:
            yield from _onward(facts, making.id, (*way, leg), over)


def begins_with(facts: Facts, food_class: str) -> Iterator[str]:
    """Batches and lots of a class that are not made of the same raw thing again."""
    for name in (*facts.lots, *facts.makings):
        component = facts.component_of(name)
        if component is None or component.food_class != food_class:
            continue
        if name in facts.lots or not goes_on(facts.scenario.component, component):
            yield name

"""Cooling steps that take over from each other by the recipes, as food goes on cooling in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.domain.cooled import between_counts, heats, limit_of, part_of, runs_on
from scheduler.domain.cooling import CoolDown, between, physics
from scheduler.domain.limits import Cooling, Fall, FoodLimits
from scheduler.domain.methods import variants
from scheduler.domain.profiles import controlled
from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import Component
from scheduler.heat.cooling import Never
from scheduler.plan.audit.amounts import shortest, up

if TYPE_CHECKING:
    from scheduler.domain.recipes import Dish, Step
    from scheduler.domain.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Chain:
    """Cooling steps that take over from each other: ice bath, then walk-in.

    Attributes
    ----------
    steps : tuple of Step
        Also of what goes in and has begun to cool.
    lasts : tuple of int
        How long each is planned for at least, minutes.
    names : tuple of str
    apart : tuple of int
        What lies between each and the next as written, at its shortest, minutes.
    own : int
        From which of them on they are the recipe's own.
    first, last : int
        Where the first and the last of its own stand in it.
    """

    steps: tuple[Step, ...]
    lasts: tuple[int, ...]
    names: tuple[str, ...]
    apart: tuple[int, ...]
    own: int
    first: int
    last: int

    @property
    def cools(self) -> tuple[CoolDown, ...]:
        return tuple(s.cooling for s in self.steps if s.cooling is not None)

    @property
    def freezes(self) -> bool:
        """Does something freeze outside before it is cold inside?"""
        return any(len(physics(c).cautions()) > 1 for c in self.cools)

    def time(self, fall: Fall, *, no_ice: bool = False) -> float | Never:
        """Minutes in a window as estimated; as far as the last step goes."""
        total = 0.0
        for n, cool in enumerate(self.cools):
            taken = between(cool, fall.start, fall.end, no_ice=no_ice)
            if isinstance(taken, Never):
                return taken
            total += taken
            total += self.between(n, fall)
        return total

    def between(self, n: int, fall: Fall) -> int:
        """Minutes of a window between a step and the next at least."""
        if n >= len(self.apart) or not between_counts(
            self.cools[n].end, self.cools[n + 1], fall
        ):
            return 0
        return self.apart[n]

    def written(self, fall: Fall) -> float:
        """Minutes in a window at least, as it is written."""
        parts = enumerate(zip(self.cools, self.lasts, strict=True))
        return sum(
            part_of(cool, fall).inside * lasts + self.between(n, fall)
            for n, (cool, lasts) in parts
        )


def chains(
    scenario: Scenario,
    made: Component | Dish,
    limits: FoodLimits,
    seen: frozenset[str] = frozenset(),
) -> Iterator[Chain]:
    """Cooling steps in order, with those of what goes in, as far as food goes on cooling in them.

    Of what goes in several ways, one each.
    """
    open_: list[Chain] = []
    for n, step in enumerate(made.steps):
        if step.cooling is None:
            continue
        limit = limit_of(scenario, made.steps, n, limits)
        here = _one(scenario, made, n)
        goes_on = [
            chain for chain in open_
            if _runs_on(chain, step, limit) and _cools(scenario, made, chain.last, n, limits)
        ]
        yield from (chain for chain in open_ if chain not in goes_on)
        more = [_joined(c, here, between_steps(scenario, made, c.last, n)) for c in goes_on]
        more += _led(scenario, made, n, here, limits, seen | {made.id})
        open_ = more or [here]
    yield from open_


def _one(scenario: Scenario, made: Component | Dish, n: int) -> Chain:
    """One cooling step by itself."""
    step = made.steps[n]
    return Chain((step,), (planned(scenario, made, step),), (step.name or step.id,), (), 0, n, n)


def _joined(before: Chain, after: Chain, apart: int, *, led: bool = False) -> Chain:
    """One after the other; `led`: the first is that of something which goes in."""
    return Chain(
        before.steps + after.steps,
        before.lasts + after.lasts,
        before.names + after.names,
        (*before.apart, apart, *after.apart),
        len(before.steps) if led else before.own,
        after.first if led else before.first,
        after.last,
    )


def _runs_on(chain: Chain, step: Step, limit: Cooling | None) -> bool:
    cool = step.cooling
    if limit is None or cool is None:
        return cool is not None and cool.start <= chain.cools[-1].end
    return runs_on(chain.cools[-1].end, cool, limit)


def _cools(
    scenario: Scenario, made: Component | Dish, first: int, then: int, limits: FoodLimits
) -> bool:
    """Does nothing get hot between two steps?"""
    return not any(heats(scenario, s, limits) for s in made.steps[first + 1 : then])


def _led(
    scenario: Scenario,
    made: Component | Dish,
    n: int,
    here: Chain,
    limits: FoodLimits,
    seen: frozenset[str],
) -> Iterator[Chain]:
    """A cooling step after those of what has gone in, where it goes on cooling."""
    limit = limit_of(scenario, made.steps, n, limits)
    for at in range(n, -1, -1):
        step = made.steps[at]
        if at < n and (step.cooling is not None or heats(scenario, step, limits)):
            return
        names = {t.component for t in step.takes} - seen
        for component in (scenario.component[name] for name in sorted(filter(None, names))):
            waits = component.keeps[0].not_before
            if at < n:
                waits += up(made.steps[at].time.at_least, scenario.kitchen.grid)
                waits += between_steps(scenario, made, at, n)
            for way in variants(component) if controlled(component) else ():
                for chain in chains(scenario, way, limits, seen):
                    end = len(way.steps)
                    if _runs_on(chain, made.steps[n], limit) and _cools(
                        scenario, way, chain.last, end, limits
                    ) and not any(s.cooling for s in way.steps[chain.last + 1 :]):
                        named = tuple(
                            name if ": " in name else f"{way.name or way.id}: {name}"
                            for name in chain.names
                        )
                        apart = between_steps(scenario, way, chain.last, end) + waits
                        yield _joined(replace(chain, names=named), here, apart, led=True)


def between_steps(scenario: Scenario, made: Component | Dish, first: int, then: int) -> int:
    """Minutes between two steps at least."""
    steps = made.steps
    waits = [s.then.not_before for s in steps[first:then] if s.then is not None]
    return sum(waits) + sum(
        up(s.time.at_least, scenario.kitchen.grid) for s in steps[first + 1 : then]
    )


def planned(scenario: Scenario, made: Component | Dish, step: Step) -> int:
    """How long a step is planned for at least: on the grid."""
    return up(own_length(made, step), scenario.kitchen.grid)


def own_length(made: Component | Dish, step: Step) -> int:
    """The shortest a step may be (its longest, if the food decides); of a dish for one portion."""
    if isinstance(made, Component):
        return shortest(step.time, made.makes, made)
    return shortest(step.time, Quantity.of(1, Dimension.COUNT), None)

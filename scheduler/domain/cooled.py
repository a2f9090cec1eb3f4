"""Which limit what cools comes under, and how much of a cooling step each of its windows has.

Cooling steps that take over from each other run on one clock for each window: `runs_on` and
`between_counts` say when, for both readers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from scheduler.domain.choices import choices
from scheduler.domain.cooling import NOISE, between
from scheduler.domain.kept import step_kept
from scheduler.domain.limits import Cooling, Fall, FoodLimits
from scheduler.domain.methods import variants
from scheduler.domain.profiles import controlled, food_limits
from scheduler.domain.recipes import Component
from scheduler.domain.times import write_duration
from scheduler.heat.cooling import Never

if TYPE_CHECKING:
    from scheduler.domain.cooling import CoolDown
    from scheduler.domain.recipes import Dish, Step
    from scheduler.domain.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Longest:
    """So many minutes a step may last, and the limit that says so."""

    minutes: int
    fall: Fall
    limit: Cooling

    def __str__(self) -> str:
        return f"{self.fall} ({self.limit.source})"

    def grid_adds(self, grid: int) -> str:
        """Said of what would fit, and is longer on the grid."""
        return f"it would fit, but not on the grid of {write_duration(grid)}"


@dataclass(frozen=True, slots=True)
class Part:
    """How a cooling step is divided by a window: before, inside and after it; 1 together."""

    before: float = 0.0
    inside: float = 0.0
    after: float = 0.0


def matters(scenario: Scenario, maker: Component | Dish, index: int) -> bool:
    """Is cooling a matter of safety in a step? Of a dish: where what has gone in is controlled."""
    if isinstance(maker, Component):
        return controlled(maker)
    known = scenario.component
    taken = (t.component for s in maker.steps[: index + 1] for t in s.takes)
    return any(controlled(known.get(name)) for name in taken if name is not None)


def heats(scenario: Scenario, step: Step, limits: FoodLimits) -> bool:
    """Is food hot when a step is over, whatever it was before?"""
    if step.cooling is not None:
        return False
    return step.core is not None or step_kept(scenario, step, limits) == "hot"


def cooked(scenario: Scenario, steps: Sequence[Step], index: int, limits: FoodLimits) -> bool:
    """Is what cools in a step cooked food? By where it starts, or by what was done before.

    By an earlier step, or in what goes in and has not been cooled to the end.
    """
    cool = steps[index].cooling
    if cool is not None and cool.start > _warmest_mixed(limits):
        return True
    return _warm(scenario, steps[:index], limits) or any(
        _taken_warm(scenario, steps[index], limits, frozenset())
    )


def _warmest_mixed(limits: FoodLimits) -> Fraction | int:
    """°C: what starts warmer was not made of things at room temperature."""
    mixed, room = limits.cooling_mixed, choices().room.value
    return max((f.start for f in mixed.windows), default=room) if mixed else room


def _warm(
    scenario: Scenario,
    steps: Sequence[Step],
    limits: FoodLimits,
    seen: frozenset[str] = frozenset(),
) -> bool:
    """Is there cooked food after these steps that has not been cooled to the end?"""
    warm = False
    for step in steps:
        warm = warm or any(_taken_warm(scenario, step, limits, seen))
        cool = step.cooling
        if cool is not None:
            warm = warm or cool.start > _warmest_mixed(limits)
            warm = warm and cool.end > coldest(cool, limits)
        warm = warm or heats(scenario, step, limits)
    return warm


def _taken_warm(
    scenario: Scenario, step: Step, limits: FoodLimits, seen: frozenset[str]
) -> Iterator[bool]:
    """Of each component that a step takes: is it cooked, by any of its methods, and still warm?"""
    for take in step.takes:
        component = scenario.component.get(take.component or "")
        if component is not None and component.id not in seen:
            within = seen | {component.id}
            yield any(_warm(scenario, m.steps, limits, within) for m in variants(component))


def coldest(cool: CoolDown, limits: FoodLimits) -> Fraction:
    """°C at which cooling is over: where the last window of the limit ends, or cold begins."""
    if limits.cooling is not None:
        return min(f.end for f in limits.cooling.windows)
    return limits.cold.value if limits.cold is not None else cool.end


def limit_of(
    scenario: Scenario, steps: Sequence[Step], index: int, limits: FoodLimits
) -> Cooling | None:
    """What the profile says of cooling in a step: for what was cooked, or for what was mixed."""
    if cooked(scenario, steps, index, limits):
        return limits.cooling
    return limits.cooling_mixed


def limit_at(scenario: Scenario, maker: Component | Dish | None, name: str) -> Cooling | None:
    """The same of a step by its id, enforced or not; None for food that needs no cooling.

    Parameters
    ----------
    maker : Component or Dish or None
        As it is made: with the steps of its method.
    """
    steps = maker.steps if maker is not None else ()
    index = next((i for i, s in enumerate(steps) if s.id == name), None)
    if maker is None or index is None or steps[index].cooling is None:
        return None
    if not matters(scenario, maker, index):
        return None
    return limit_of(scenario, steps, index, food_limits(scenario.kitchen))


def hard_limit(scenario: Scenario, maker: Component | Dish | None, name: str) -> Cooling | None:
    """The same where a plan is held to it."""
    limit = limit_at(scenario, maker, name)
    return limit if limit is not None and limit.hard else None


def part_of(cool: CoolDown, fall: Fall) -> Part:
    """How a window divides a step: by what each part has of the estimate.

    A step from 90 to 5 °C is not all of it in a window from 57 to 5 °C. Where all
    of it is stirred, that follows from the temperatures alone, whatever the film
    coefficient. Where it never gets through a window, all of it lies there.
    """
    all_of_it = between(cool, cool.start, cool.end)
    inside = between(cool, fall.start, fall.end)
    if isinstance(inside, Never):
        return Part(inside=1.0)
    if isinstance(all_of_it, Never) or all_of_it <= 0:
        # It gets through the window, and stays as long as one likes below it.
        return Part(before=1.0) if cool.end >= fall.start else Part(after=1.0)
    before = between(cool, cool.start, max(fall.start, cool.end)) if fall.start < cool.start else 0
    above = 0.0 if isinstance(before, Never) else before
    return Part(
        above / all_of_it, inside / all_of_it, max(0.0, all_of_it - above - inside) / all_of_it
    )


def longest(cool: CoolDown, limit: Cooling) -> Longest | None:
    """How long a step may last so that every window of a limit is kept, down to whole minutes.

    None where no window is touched.
    """
    found: list[Longest] = []
    for fall in limit.windows:
        inside = part_of(cool, fall).inside
        if inside > 0:
            found.append(Longest(floor(fall.within / inside + NOISE), fall, limit))
    return min(found, key=lambda one: one.minutes, default=None)


def longest_of(scenario: Scenario, maker: Component | Dish | None, name: str) -> Longest | None:
    """How long a step by its id may last by the hard limits of the kitchen's profile."""
    limit = hard_limit(scenario, maker, name)
    steps = maker.steps if maker is not None else ()
    cool = next((s.cooling for s in steps if s.id == name), None)
    return longest(cool, limit) if cool is not None and limit is not None else None


def runs_on(before: Fraction | None, cool: CoolDown, limit: Cooling) -> bool:
    """Does a cooling step take over from one that ended at `before` °C, on the same clock?

    Not where it was cold through and through by then, nor where it starts warmer, at the
    temperature at which the limit's clock starts or above: it was hot again in between.
    None: from a hot step, and it was out since (left on the bench); where it starts in a window,
    nobody says when it got there, so all that lies between is in it.
    """
    if before is None:
        return any(between_counts(before, cool, fall) for fall in limit.windows)
    if before <= min(f.end for f in limit.windows):
        return False
    return cool.start <= before or cool.start < max(f.start for f in limit.windows)


def between_counts(before: Fraction | None, cool: CoolDown, fall: Fall) -> bool:
    """Does what lies between two such steps count in a window? Where it may be in it there."""
    if before is None:
        return cool.start < fall.start
    return before > fall.end and min(before, cool.start) <= fall.start

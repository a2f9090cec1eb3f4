"""Which limit a cooling step comes under, and how long the step may last for its sake."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.choices import choices
from scheduler.domain.cooling import between, whole
from scheduler.domain.kept import step_kept
from scheduler.domain.limits import Cooling, Fall, FoodLimits
from scheduler.domain.profiles import controlled, food_limits
from scheduler.heat.cooling import Never

if TYPE_CHECKING:
    from scheduler.domain.cooling import CoolDown
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Longest:
    """So many minutes a step may last, and the limit that says so."""

    minutes: int
    fall: Fall
    limit: Cooling

    def __str__(self) -> str:
        return f"{self.fall} ({self.limit.source})"


def cooked(scenario: Scenario, steps: Sequence[Step], index: int, limits: FoodLimits) -> bool:
    """Is what cools in a step cooked food? By where it starts, or by an earlier step."""
    cool, mixed = steps[index].cooling, limits.cooling_mixed
    warmest = max(f.start for f in mixed.windows) if mixed else choices().room.value
    if cool is not None and cool.start > warmest:
        return True
    return any(
        s.core is not None or s.cooling is not None or step_kept(scenario, s, limits) == "hot"
        for s in steps[:index]
    )


def limit_of(
    scenario: Scenario, steps: Sequence[Step], index: int, limits: FoodLimits
) -> Cooling | None:
    """What the profile says of cooling in a step: for what was cooked, or for what was mixed."""
    if cooked(scenario, steps, index, limits):
        return limits.cooling
    return limits.cooling_mixed


def limit_at(
    scenario: Scenario, component: Component | None, steps: Sequence[Step], name: str
) -> Cooling | None:
    """The same of a step by its id, enforced or not; None for food that needs no cooling."""
    index = next((i for i, s in enumerate(steps) if s.id == name), None)
    if index is None or not controlled(component):
        return None
    return limit_of(scenario, steps, index, food_limits(scenario.kitchen))


def longest(cool: CoolDown, limit: Cooling) -> Longest | None:
    """How long a step may last so that every window of a limit is kept.

    A step from 90 to 5 °C is not all of it in a window from 57 to 5 °C: the
    window has that part of the step's length which it has of the estimate.
    Where all of it is stirred, that part follows from the temperatures alone,
    whatever the film coefficient. None where it never gets there, or where no
    window is touched.
    """
    all_of_it = between(cool, cool.start, cool.end)
    if isinstance(all_of_it, Never):
        return None
    found: list[Longest] = []
    for fall in limit.windows:
        part = between(cool, fall.start, fall.end)
        if not isinstance(part, Never) and part > 0:
            found.append(Longest(whole(fall.within * all_of_it / part), fall, limit))
    return min(found, key=lambda one: one.minutes, default=None)


def longest_of(
    scenario: Scenario, component: Component | None, steps: Sequence[Step], name: str
) -> Longest | None:
    """How long a step of a component may last by the hard limits of the kitchen's profile."""
    cool = next((s.cooling for s in steps if s.id == name), None)
    limit = limit_at(scenario, component, steps, name) if cool is not None else None
    return longest(cool, limit) if cool and limit is not None and limit.hard else None


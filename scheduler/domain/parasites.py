"""Freezing that kills parasites in fish that is served raw: how cold, how long, without a break."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.choices import choices
from scheduler.domain.profiles import class_of

if TYPE_CHECKING:
    from scheduler.domain.limits import Freezing, Freezings
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Stretch:
    """So long in a place that never gets warmer than that; None: it is not known to be cold.

    `step`: in a step of a recipe, in which it freezes through; otherwise it is stored.
    """

    celsius: Fraction | None
    minutes: int
    step: bool = False


def served_raw(component: Component | None) -> bool:
    """Is it fish that is served raw or cured, and that the code does not let off?"""
    of = class_of(component)
    return of is not None and of.parasites and of.served_raw


def warmest(scenario: Scenario, zone: str | None) -> Fraction | None:
    """The warmest that any store of a zone gets; None where one of them does not say."""
    said = [store.warmest for store in scenario.kitchen.stores if store.zone == zone]
    known = [one for one in said if one is not None]
    return max(known) if known and len(known) == len(said) else None


def while_it_runs(scenario: Scenario, step: Step) -> Fraction | None:
    """The warmest it gets while a step runs on shelves; None where it stands on none."""
    found = [warmest(scenario, need.zone) for need in step.on if need.zone is not None]
    known = [one for one in found if one is not None]
    return max(known) if known and len(known) == len(found) else None


def killed(limit: Freezings, way: Iterable[Stretch]) -> bool:
    """Is it anywhere on the way cold enough for long enough, by any of what the limit allows?"""
    stretches = tuple(way)
    return any(_kept(one, stretches) for one in limit.ways)


def _kept(one: Freezing, way: tuple[Stretch, ...]) -> bool:
    """A step is for freezing through; what is held counts from its end, or once it is through."""
    held, solid = 0, one.solid is None
    through = choices().freezes_through.value
    stays = one.at if one.solid is None else max(one.at, one.solid)
    for stretch in way:
        minutes, cold = stretch.minutes, stretch.celsius
        if not minutes:
            continue
        if cold is None or cold > stays:
            held, solid = 0, one.solid is None
            continue
        if not solid and one.solid is not None and cold <= one.solid:
            solid = stretch.step or minutes >= through
            minutes = max(0, minutes - through)
        if cold > one.at:
            held = 0
        elif solid:
            held += minutes
        if solid and held >= one.held:
            return True
    return False

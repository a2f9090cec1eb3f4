"""Fish that is served raw is frozen first, so cold and for so long that no parasite lives."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.choices import choices
from scheduler.domain.cooked import enough, goes_on
from scheduler.domain.methods import variants
from scheduler.domain.parasites import Stretch, killed, served_raw, warmest, while_it_runs
from scheduler.domain.profiles import class_of, profile_of
from scheduler.domain.recipes import Component
from scheduler.safety.cooking import taking
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.limits import FoodLimits
    from scheduler.domain.recipes import Step
    from scheduler.domain.scenario import Scenario

RULE = "parasites"


def parasites(scenario: Scenario) -> Iterator[Finding]:
    """Every way of such fish to a plate: the recipes hold it in the cold so long, at the least.

    What may be shorter in a plan is not enough: `not_before` says that it is not.
    """
    profile = profile_of(scenario.kitchen)
    if profile is None:
        return
    limit, limits = profile.food.parasites, profile.food
    for component in scenario.components:
        of, name = class_of(component), component.name or component.id
        if of is None or not of.served_raw or goes_on(scenario.component, component):
            continue
        if not served_raw(component):
            said = "served raw: let off or frozen by the supplier, as the kitchen's records show"
            yield Finding(Standing.NOTE, RULE, name, said, limit.source if limit else "")
            continue
        if limit is None:
            said = f"served raw: how cold and how long first? {profile.absent.get(RULE, '')}"
            yield Finding(Standing.UNKNOWN, RULE, name, said)
            continue
        found: dict[str, bool] = {}
        for on, way in _ways(scenario, component, limits):
            if way is not None:  # Cooked after all, it is not served raw.
                found[on] = found.get(on, True) and killed(limit, way)
        for on, fine in found.items():
            said = f"served raw, so frozen first {limit}"
            if not fine:
                said += "; no step, wait or hold of the recipe is that cold for that long at least"
                if any(way.solid is not None for way in limit.ways):
                    said += ", once it is frozen through (a step of its own, or reckoned with "
                    said += f"{choices().freezes_through})"
            standing = Standing.FINE if fine else Standing.BROKEN
            hard = limit.hard and not fine
            yield Finding(standing, RULE, f"{name} in {on}", said, limit.source, hard)


Way = tuple[Stretch, ...]


def _ways(
    scenario: Scenario, component: Component, limits: FoodLimits
) -> Iterator[tuple[str, Way | None]]:
    """Every way to a dish, at its shortest; None where something on it cooks the fish."""
    open_: list[tuple[Component, tuple[Step, ...], Way, tuple[str, ...]]] = [
        (made, made.steps, (), ()) for made in variants(component)
    ]
    while open_:
        made, steps, before, past = open_.pop()
        cooked = _cooks(steps, limits)
        way = (*before, *_through(scenario, steps), _held(scenario, made))
        for recipe, onward in taking(scenario, made.id):
            if isinstance(recipe, Component):
                if recipe.id not in (*past, made.id) and not cooked:
                    open_.append((recipe, onward, way, (*past, made.id)))
                continue
            on = recipe.name or recipe.id
            done = cooked or _cooks(onward, limits)
            yield on, None if done else (*way, *_through(scenario, onward))


def _cooks(steps: tuple[Step, ...], limits: FoodLimits) -> bool:
    limit = limits.cook_whole
    return any(s.core is not None and enough(s.core, limit) for s in steps)


def _through(scenario: Scenario, steps: tuple[Step, ...]) -> Iterator[Stretch]:
    for step in steps:
        yield Stretch(while_it_runs(scenario, step), max(1, step.time.at_least), True)
        if step.then is not None:
            yield Stretch(warmest(scenario, step.then.zone), step.then.not_before)


def _held(scenario: Scenario, made: Component) -> Stretch:
    """While it waits for its use, in the warmest of the places where it may."""
    found = [warmest(scenario, keep.zone) for keep in made.keeps]
    known = [one for one in found if one is not None]
    cold = max(known) if len(known) == len(found) else None
    return Stretch(cold, made.keeps[0].not_before)



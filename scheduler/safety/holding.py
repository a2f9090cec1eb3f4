"""Where food is kept cold and hot, against the limits."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.celsius import write_celsius
from scheduler.domain.exposed import Exposing
from scheduler.domain.kept import BY_NAME, FROZEN_FROM, hot_limit
from scheduler.domain.methods import variants
from scheduler.domain.profiles import controlled
from scheduler.domain.reheated import matters
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from fractions import Fraction

    from scheduler.domain.kitchen import Store
    from scheduler.domain.limits import Kept
    from scheduler.domain.recipes import Component, Dish, Step
    from scheduler.domain.scenario import Scenario

CLOSE = 1
"""°C from a limit: near. Our own choice, as good as many thermometers are."""
MEANT_COLD, MEANT_HOT = 15, 45
"""°C: a place that gets no warmer, no colder is meant to keep food so; between them is the room.
The range in which a limit may lie at all (`FoodLimits`)."""


def stores(scenario: Scenario) -> Iterator[Finding]:
    """Every store that is called cold or hot, or where controlled food is kept so."""
    rules = Exposing(scenario)
    used = {zone for c in scenario.components if controlled(c) for zone in _zones(c)}
    roasts = used - {
        zone
        for c in scenario.components
        if controlled(c) and not all(rules.roast(made) for made in variants(c))
        for zone in _zones(c)
    }
    for store in scenario.kitchen.stores:
        meant = _meant(store)
        warm = hot_limit(rules.limits, store.zone in roasts)
        limit = warm if meant == "hot" else rules.limits.cold
        if meant == "out" or limit is None:
            continue
        figure = store.coldest if meant == "hot" else store.warmest
        name = store.name or store.id
        if figure is None:
            said = f"says no temperature; called '{store.zone}', it is taken to keep food {meant}"
            yield Finding(Standing.UNKNOWN, meant, name, said, limit.source)
            continue
        word = "at the coldest" if meant == "hot" else "at the warmest"
        most = "at least" if meant == "hot" else "at most"
        if meant == "frozen" and figure > FROZEN_FROM:
            word += f" (frozen is {FROZEN_FROM} °C and below)"
        beyond = limit.value - figure if meant == "hot" else figure - limit.value
        standing = _by_degrees(beyond)
        if standing is Standing.BROKEN and store.zone not in used:
            standing = Standing.NOTE
        said = f"{write_celsius(figure)} {word}; {most} {limit}"
        hard = limit.hard and standing is Standing.BROKEN
        yield Finding(standing, meant, name, said, limit.source, hard)


def _zones(component: Component) -> Iterator[str | None]:
    """Where something stands, in every way it is made here."""
    yield from (keep.zone for keep in component.keeps)
    for made in variants(component):
        for step in made.steps:
            yield step.then.zone if step.then is not None else None
            yield from (need.zone for need in step.on)


def _meant(store: Store) -> Kept:
    """How a store is meant to keep food: by its zone's name, or by what it says of itself."""
    if store.zone in BY_NAME:
        return BY_NAME[store.zone]
    if store.coldest is not None and store.coldest >= MEANT_HOT:
        return "hot"
    return "cold" if store.warmest is not None and store.warmest <= MEANT_COLD else "out"


def _by_degrees(beyond: Fraction) -> Standing:
    if beyond > 0:
        return Standing.BROKEN
    return Standing.NEAR if beyond > -CLOSE else Standing.FINE


def hot_waits(scenario: Scenario) -> Iterator[Finding]:
    """What waits in the oven that made it: is it kept hot there?

    Below the limit it is out, and counts as that where the profile has a limit for it.
    """
    rules = Exposing(scenario)
    found: list[Finding] = []
    for maker, step in steps_that_matter(scenario):
        limit = hot_limit(rules.limits, rules.roast(maker))
        settings = [n.setting.coldest for n in step.on if n.setting is not None]
        if limit is None or step.then is None or not step.then.in_machine or not settings:
            continue
        coldest = min(settings)
        if coldest < MEANT_HOT or step.kept in ("cold", "frozen"):
            continue
        standing = _by_degrees(limit.value - coldest)
        said = f"waits at {coldest} °C; kept hot is at least {limit}"
        if standing is Standing.BROKEN and rules.limits.exposure is not None:
            standing, said = Standing.NOTE, f"{said}, so it counts as out"
        hard = limit.hard and standing is Standing.BROKEN
        found.append(Finding(standing, "hot", name_of(maker, step), said, limit.source, hard))
    yield from dict.fromkeys(found)  # methods may have steps in common


def steps_that_matter(scenario: Scenario) -> Iterator[tuple[Component | Dish, Step]]:
    """Steps of what time and temperature matter for, in every way it is made here."""
    recipes: tuple[Component | Dish, ...] = (*scenario.components, *scenario.dishes)
    for recipe in recipes:
        for made in variants(recipe):
            if matters(scenario, made):
                yield from ((made, step) for step in made.steps)


def name_of(maker: Component | Dish, step: Step) -> str:
    """What a step is called in a finding."""
    return f"{maker.name or maker.id}, {step.name or step.id}"

"""Where food is kept cold and hot, against the limits; and how it gets hot again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.celsius import write_celsius
from scheduler.domain.choices import choices
from scheduler.domain.exposed import Exposing
from scheduler.domain.kept import BY_NAME
from scheduler.domain.profiles import controlled
from scheduler.domain.times import write_duration
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from fractions import Fraction

    from scheduler.domain.kitchen import Store
    from scheduler.domain.limits import Core, Kept
    from scheduler.domain.recipes import Component, Dish, Step
    from scheduler.domain.scenario import Scenario


def stores(scenario: Scenario) -> Iterator[Finding]:
    """Every store that is called cold or hot, or where controlled food is kept so."""
    rules = Exposing(scenario)
    used = {
        zone
        for c in scenario.components
        if controlled(c)
        for zone in (
            *(k.zone for k in c.keeps),
            *(s.then.zone for s in c.steps if s.then is not None),
            *(need.zone for s in c.steps for need in s.on),
        )
    }
    for store in scenario.kitchen.stores:
        meant = _meant(store)
        limit = rules.limits.hot if meant == "hot" else rules.limits.cold
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
        if meant == "frozen" and figure > choices().frozen.value:
            word += f" (frozen is {choices().frozen} and below)"
        beyond = limit.value - figure if meant == "hot" else figure - limit.value
        standing = _by_degrees(beyond)
        if standing is Standing.BROKEN and store.zone not in used:
            standing = Standing.NOTE
        said = f"{write_celsius(figure)} {word}; {most} {limit}"
        hard = limit.hard and standing is Standing.BROKEN
        yield Finding(standing, meant, name, said, limit.source, hard)


def _meant(store: Store) -> Kept:
    """How a store is meant to keep food: by its zone's name, or by what it says of itself."""
    if store.zone in BY_NAME:
        return BY_NAME[store.zone]
    if store.coldest is not None and store.coldest >= choices().meant_hot.value:
        return "hot"
    cold = store.warmest is not None and store.warmest <= choices().meant_cold.value
    return "cold" if cold else "out"


def _by_degrees(beyond: Fraction) -> Standing:
    if beyond > 0:
        return Standing.BROKEN
    return Standing.NEAR if beyond > -choices().close.value else Standing.FINE


def hot_waits(scenario: Scenario) -> Iterator[Finding]:
    """What waits in the oven that made it: is it kept hot there?

    Below the limit it is out, and counts as that where the profile has a limit for it.
    """
    rules = Exposing(scenario)
    limit = rules.limits.hot
    for maker, step in _steps(scenario, rules):
        settings = [n.setting.coldest for n in step.on if n.setting is not None]
        if limit is None or step.then is None or not step.then.in_machine or not settings:
            continue
        coldest = min(settings)
        if coldest < choices().meant_hot.value or step.kept in ("cold", "frozen"):
            continue
        standing = _by_degrees(limit.value - coldest)
        said = f"waits at {coldest} °C; kept hot is at least {limit}"
        if standing is Standing.BROKEN and rules.limits.exposure is not None:
            standing, said = Standing.NOTE, f"{said}, so it counts as out"
        hard = limit.hard and standing is Standing.BROKEN
        yield Finding(standing, "hot", _name(maker, step), said, limit.source, hard)


def reheating(scenario: Scenario) -> Iterator[Finding]:
    """What was cold and is kept hot: how hot it gets, and how long that may take."""
    rules = Exposing(scenario)
    limits = rules.limits
    for maker, step in _steps(scenario, rules):
        if not (_was_cold(rules, maker, step) and _gets_hot(rules, step)):
            continue
        if not _stays_hot(rules, maker, step):
            continue
        name = _name(maker, step)
        if limits.reheat is not None:
            yield _core(name, step, limits.reheat)
        within, longest = limits.reheat_within, step.time.at_most or step.time.at_least
        if within is not None:
            standing = Standing.BROKEN if longest > within.value else Standing.FINE
            said = f"reheated in {write_duration(longest)} at most; within {within}"
            hard = within.hard and standing is Standing.BROKEN
            yield Finding(standing, "reheat_within", name, said, within.source, hard)


def _core(name: str, step: Step, limit: Core) -> Finding:
    if step.core is None:
        said = f"kept hot after it was cold; no `core`: nobody can say whether it reaches {limit}"
        return Finding(Standing.UNKNOWN, "reheat", name, said, limit.source)
    said = f"reheated to {write_celsius(step.core.at)}; at least {limit}"
    timed = limit.seconds >= choices().reading.value
    broken = step.core.at < limit.value or (timed and step.core.for_ * 60 < limit.seconds)
    hard = limit.hard and broken
    standing = Standing.BROKEN if broken else Standing.FINE
    return Finding(standing, "reheat", name, said, limit.source, hard)


def _steps(scenario: Scenario, rules: Exposing) -> Iterator[tuple[Component | Dish, Step]]:
    """Steps of what time and temperature matter for; of dishes, where such food goes in."""
    for component in scenario.components:
        if controlled(component):
            yield from ((component, step) for step in component.steps)
    for dish in scenario.dishes:
        taken = (scenario.component[t.component] for t in dish.inputs if t.component)
        if any(controlled(c) for c in taken):
            yield from ((dish, step) for step in dish.steps)


def _name(maker: Component | Dish, step: Step) -> str:
    return f"{maker.name or maker.id}, {step.name or step.id}"


def _was_cold(rules: Exposing, maker: Component | Dish, step: Step) -> bool:
    """Did it stand in the cold right before, cooked already?"""
    taken = [rules.scenario.component[t.component] for t in step.takes if t.component]
    if rules.raw(maker) or any(rules.raw(c) for c in taken):
        return False
    if any(controlled(c) and rules.zone(c.keeps[0].zone) in _COLD for c in taken):
        return True
    at = maker.steps.index(step)
    before = maker.steps[at - 1] if at else None
    if before is None:
        return False
    wait = before.then
    return rules.step(before) in _COLD or (
        wait is not None and wait.zone is not None and rules.zone(wait.zone) in _COLD
    )


_COLD = ("cold", "frozen")


def _gets_hot(rules: Exposing, step: Step) -> bool:
    return rules.step(step) == "hot" or step.core is not None


def _stays_hot(rules: Exposing, maker: Component | Dish, step: Step) -> bool:
    """Is it kept hot afterwards, or while it waits to be used?"""
    wait = step.then
    if wait is not None:
        return rules.step(step) == "hot" if wait.in_machine else rules.zone(wait.zone) == "hot"
    if step is not maker.steps[-1]:
        return rules.step(maker.steps[maker.steps.index(step) + 1]) == "hot"
    keeps = maker.keeps
    kept = keeps if isinstance(keeps, tuple) else (keeps,)
    return any(k is not None and rules.zone(k.zone) == "hot" for k in kept)

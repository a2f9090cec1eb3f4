"""Which steps get food hot again that was cold and is kept hot then, and how long they may take."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.profiles import controlled
from scheduler.domain.recipes import Component

if TYPE_CHECKING:
    from scheduler.domain.exposed import Exposing
    from scheduler.domain.limits import Length
    from scheduler.domain.recipes import Dish, Step
    from scheduler.domain.scenario import Scenario

COLD = ("cold", "frozen")


def reheats(rules: Exposing, maker: Component | Dish, step: Step) -> bool:
    """Does a step reheat food for hot holding: cooked before, cold right before, kept hot after?

    Only food that time and temperature matter for; of dishes, where such food goes in.
    """
    return (
        matters(rules.scenario, maker)
        and (rules.step(step, maker) == "hot" or step.core is not None)
        and _was_cold(rules, maker, step)
        and _stays_hot(rules, maker, step)
    )


def longest_reheat(rules: Exposing, maker: Component | Dish, step: Step) -> Length | None:
    """How long a step may last, where it reheats and a plan is held to the limit for that."""
    within = rules.limits.reheat_within
    return within if within is not None and within.hard and reheats(rules, maker, step) else None


def matters(scenario: Scenario, maker: Component | Dish) -> bool:
    """Are time and temperature a matter of safety for it? Of a dish: does such food go in?"""
    if isinstance(maker, Component):
        return controlled(maker)
    return any(controlled(scenario.component.get(t.component or "")) for t in maker.inputs)


def _was_cold(rules: Exposing, maker: Component | Dish, step: Step) -> bool:
    """Did it stand in the cold right before, cooked already?"""
    known = rules.scenario.component
    taken = [known[t.component] for t in step.takes if t.component in known]
    if rules.raw(maker) or any(rules.raw(c) for c in taken):
        return False
    if any(controlled(c) and rules.zone(c.keeps[0].zone, c) in COLD for c in taken):
        return True
    at = maker.steps.index(step)
    before = maker.steps[at - 1] if at else None
    if before is None:
        return False
    wait = before.then
    return rules.step(before, maker) in COLD or (
        wait is not None and wait.zone is not None and rules.zone(wait.zone, maker) in COLD
    )


def _stays_hot(rules: Exposing, maker: Component | Dish, step: Step) -> bool:
    """Is it kept hot afterwards, or while it waits to be used?"""
    wait = step.then
    if wait is not None:
        after = rules.step(step, maker) if wait.in_machine else rules.zone(wait.zone, maker)
        return after == "hot"
    if step is not maker.steps[-1]:
        following = maker.steps[maker.steps.index(step) + 1]
        return rules.step(following, maker) == "hot"
    return stands_hot(rules, maker)


def stands_hot(rules: Exposing, maker: Component | Dish) -> bool:
    """Does it wait to be used, or to be served, in the heat?"""
    keeps = maker.keeps
    kept = keeps if isinstance(keeps, tuple) else (keeps,)
    return any(k is not None and rules.zone(k.zone, maker) == "hot" for k in kept)

"""What was cold and is kept hot again: how hot it gets, and how long that may take."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.celsius import write_celsius
from scheduler.domain.cooked import enough
from scheduler.domain.exposed import Exposing
from scheduler.domain.methods import variants
from scheduler.domain.profiles import controlled
from scheduler.domain.recipes import Component, Decides, Dish
from scheduler.domain.reheated import COLD, matters, reheats, stands_hot
from scheduler.domain.times import write_duration
from scheduler.plan.audit.amounts import length
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.reheating import lasts, reheated, too_long
from scheduler.safety.finding import Finding, Standing, against
from scheduler.safety.holding import name_of, steps_that_matter

if TYPE_CHECKING:
    from scheduler.domain.limits import Core, Length
    from scheduler.domain.recipes import Step, Take
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

RULE = "reheat"
WITHIN = "reheat_within"


def reheating(scenario: Scenario) -> Iterator[Finding]:
    """Every step that reheats for hot holding, in every way a recipe is made here."""
    rules = Exposing(scenario)
    limits, found = rules.limits, []
    for maker, step in steps_that_matter(scenario):
        if not reheats(rules, maker, step):
            continue
        if limits.reheat is not None:
            found.append(_core(name_of(maker, step), step, limits.reheat))
        if limits.reheat_within is not None:
            found.append(_written(maker, step, limits.reheat_within))
    yield from dict.fromkeys(found)  # methods may have steps in common


def not_heated(scenario: Scenario) -> Iterator[Finding]:
    """What stands in the cold and then in the heat, and no step says that it gets hot."""
    rules = Exposing(scenario)
    limit = rules.limits.reheat or rules.limits.hot
    recipes: tuple[Component | Dish, ...] = (*scenario.components, *scenario.dishes)
    for recipe in recipes if limit is not None else ():
        if any(_kept_hot_cold(rules, made) for made in variants(recipe)):
            said = "cold, and then kept hot; no step says that it gets hot (`core`, `kept: hot`), "
            said += f"and no hot cupboard heats: {limit}"
            source = limit.source if limit is not None else ""
            yield Finding(Standing.UNKNOWN, RULE, recipe.name or recipe.id, said, source)


def _kept_hot_cold(rules: Exposing, maker: Component | Dish) -> bool:
    """Is cooked food that is cold put into the heat? As it is written, step by step."""
    if not matters(rules.scenario, maker) or rules.raw(maker):
        return False
    cold = False
    for step in maker.steps:
        cold = cold or any(_stands_cold(rules, take) for take in step.takes)
        kept = rules.step(step, maker)
        cold = kept in COLD or (cold and kept != "hot" and step.core is None)
        zone = step.then.zone if step.then is not None else None
        if zone is not None:
            if cold and rules.zone(zone, maker) == "hot":
                return True
            cold = cold or rules.zone(zone, maker) in COLD
    if isinstance(maker, Dish):
        cold = cold or any(_stands_cold(rules, take) for take in maker.takes)
    return cold and stands_hot(rules, maker)


def _stands_cold(rules: Exposing, take: Take) -> bool:
    """Is it controlled food that waits in the cold to be taken?"""
    component = rules.scenario.component.get(take.component or "")
    zone = component.keeps[0].zone if component is not None else None
    return controlled(component) and zone is not None and rules.zone(zone, component) in COLD


def reheating_planned(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """How long a plan gives every step that reheats."""
    facts = Facts(scenario, plan)
    rules = Exposing(scenario)
    limit = rules.limits.reheat_within
    for making, stage, task in reheated(facts, rules) if limit is not None else ():
        maker = making.component or making.dish
        if limit is None or maker is None or stage.step is None:
            continue
        takes = lasts(facts, making, stage, task)
        where = f"{name_of(maker, stage.step)} ({task.id})"
        yield Finding(
            against(takes, limit.value), WITHIN, where, too_long(takes, limit), limit.source,
            limit.hard,
        )  # fmt: skip


def _core(name: str, step: Step, limit: Core) -> Finding:
    if step.core is None:
        said = f"kept hot after it was cold; no `core`: nobody can say whether it reaches {limit}"
        return Finding(Standing.UNKNOWN, RULE, name, said, limit.source)
    said = f"reheated to {write_celsius(step.core.at)}; at least {limit}"
    broken = not enough(step.core, limit)
    standing = Standing.BROKEN if broken else Standing.FINE
    return Finding(standing, RULE, name, said, limit.source, limit.hard and broken)


def _written(maker: Component | Dish, step: Step, limit: Length) -> Finding:
    """The written time: its shortest breaks the limit for good; its longest a plan may cut."""
    name = name_of(maker, step)
    least, most, of = _may_take(maker, step)
    if least > limit.value:
        said = f"reheated in {write_duration(least)} at least; within {limit}"
        return Finding(Standing.BROKEN, WITHIN, name, said, limit.source, limit.hard)
    said = f"reheated in {write_duration(most)} at most{of}; within {limit}"
    if most <= limit.value:
        return Finding(Standing.FINE, WITHIN, name, said, limit.source)
    if not limit.hard:
        return Finding(Standing.BROKEN, WITHIN, name, said, limit.source)
    return Finding(Standing.NEAR, WITHIN, name, f"{said}, and no plan takes longer", limit.source)


def _may_take(maker: Component | Dish, step: Step) -> tuple[int, int, str]:
    """The shortest and the longest that a step may take, minutes, and of how much that is."""
    time, component = step.time, maker if isinstance(maker, Component) else None
    least = time.at_least
    if time.decides is Decides.IT:
        least = time.at_most or least
    else:
        most_hands = max((line.up_to or 1 for line in step.hands), default=1)
        least = time.undivided + -(-(least - time.undivided) // most_hands)
    amount = (component.batch.most or component.makes) if component is not None else time.per
    if time.per is None or amount is None:
        return least, time.at_most or time.at_least, ""
    law = length(time, amount, component)
    return least, law.most or law.least, f" for {amount}"

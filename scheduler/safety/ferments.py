"""A ferment leaves the warm through a pH at or below the profile's limit, measured and recorded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.kept import step_kept
from scheduler.domain.methods import variants
from scheduler.domain.profiles import class_of, profile_of
from scheduler.domain.quantity import plain
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.limits import FoodLimits, Measured
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario

RULE = "ferment"


def ferments(scenario: Scenario) -> Iterator[Finding]:
    """The last step of each ferment that runs by itself in the warm ends with a test of its pH.

    What is made of the ferment (cut, packed, in another state) has left the warm before.
    """
    profile = profile_of(scenario.kitchen)
    if profile is None:
        return
    limit = profile.food.acid
    for component in scenario.components:
        of = class_of(component)
        if of is None or not of.ferment or _made_of_one(scenario, component):
            continue
        name = component.name or component.id
        if limit is None:
            why = profile.absent.get("acid", "")
            said = f"at which pH may it leave the warm? {why}"
            yield Finding(Standing.UNKNOWN, RULE, name, said)
            continue
        for made in variants(component):
            if made.steps:
                yield _gate(scenario, name, made, limit, profile.food)


def _made_of_one(scenario: Scenario, component: Component) -> bool:
    taken = [t.component for step in component.steps for t in step.takes if t.component]
    classes = (class_of(scenario.component.get(name)) for name in taken)
    return any(of is not None and of.ferment for of in classes)


def _gate(
    scenario: Scenario, name: str, made: Component, limit: Measured, limits: FoodLimits
) -> Finding:
    warm = [s for s in made.steps if not s.hands and step_kept(scenario, s, limits) == "out"]
    if not warm:
        said = "no step runs by itself in the warm, so nobody can say where it ferments"
        return Finding(Standing.UNKNOWN, RULE, name, said, limit.source)
    standing, said = _judged(warm[-1], limit)
    later = made.steps[made.steps.index(warm[-1]) + 1 :]
    if standing is Standing.FINE and not warm[-1].unload and not any(s.hands or s.load
                                                                     for s in later):
        standing = Standing.NOTE
        said += "; nobody takes it out, so nobody measures: `unload` says who"
    where = f"{name}, {warm[-1].name or warm[-1].id}"
    broken = standing is Standing.BROKEN
    return Finding(standing, RULE, where, said, limit.source, broken and limit.hard)


def _judged(step: Step, limit: Measured) -> tuple[Standing, str]:
    test = step.test
    if test is None or not test.of_ph:
        what = "no test" if test is None else f"a test of {test.measure} and none of its pH"
        said = f"it ends with {what}; it leaves the warm at a pH of at most {limit}, recorded"
        return Standing.BROKEN, said
    if test.ph is None:
        said = f"its pH is to be '{test.target}', which says no most; at most {limit}"
        return Standing.BROKEN, said
    said = f"it leaves the warm at a pH of at most {plain(test.ph, 4)}, recorded"
    if test.ph > limit.value:
        return Standing.BROKEN, f"{said}; the most is {limit}"
    return Standing.FINE, f"{said}; at most {limit}"

"""A ferment leaves the warm through a pH at or below the limit, measured and recorded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.gated import (
    is_ferment,
    leaves_at,
    left_before,
    made_of_one,
    most_ph,
    warm_step,
    wrong_gate,
)
from scheduler.domain.methods import variants
from scheduler.domain.profiles import profile_of
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.limits import FoodLimits, Measured
    from scheduler.domain.recipes import Component
    from scheduler.domain.scenario import Scenario

RULE = "ferment"


def ferments(scenario: Scenario) -> Iterator[Finding]:
    """The last step of each ferment that runs by itself in the warm ends with a test of its pH.

    Also of one that is made with another (a starter). What is a ferment in another state (cut,
    packed) has left the warm before. Where the profile has no figure, that of the class holds.
    """
    profile = profile_of(scenario.kitchen)
    if profile is None:
        return
    for component in scenario.components:
        if not is_ferment(component):
            continue
        limit = most_ph(component, profile.food)
        for made in variants(component) if limit is not None else ():
            if made.steps and limit is not None and not left_before(scenario, made):
                yield from _gate(scenario, made, limit, profile.food)


def _gate(
    scenario: Scenario, made: Component, limit: Measured, limits: FoodLimits
) -> Iterator[Finding]:
    name, warm = made.name or made.id, warm_step(scenario, made, limits)
    if warm is None:
        if not made_of_one(scenario, made):
            said = "no step runs by itself in the warm, so nobody can say where it ferments"
            yield Finding(Standing.UNKNOWN, RULE, name, said, limit.source)
        return
    where = f"{name}, {warm.name or warm.id}"
    wrong = wrong_gate(warm, limit)
    if wrong is not None:
        yield Finding(Standing.BROKEN, RULE, where, wrong, limit.source, limit.hard)
        return
    standing, said = Standing.FINE, f"{leaves_at(warm)}; at most {limit}"
    later = made.steps[made.steps.index(warm) + 1 :]
    if not warm.unload and not any(s.hands or s.load for s in later):
        standing = Standing.NOTE
        said += "; nobody takes it out, so nobody measures: `unload` says who"
    yield Finding(standing, RULE, where, said, limit.source)

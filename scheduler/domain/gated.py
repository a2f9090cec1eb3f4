"""Which steps a ferment may leave only by its pH, at most which, and what the recipe says of it."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.kept import step_kept
from scheduler.domain.profiles import class_of
from scheduler.domain.quantity import plain

if TYPE_CHECKING:
    from scheduler.domain.limits import FoodLimits, Measured
    from scheduler.domain.quantity import Quantity
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario


def is_ferment(component: Component | None) -> bool:
    """Does it become acid by itself?"""
    of = class_of(component)
    return of is not None and of.ferment


def most_ph(component: Component, limits: FoodLimits) -> Measured | None:
    """The most its pH may be: by the profile, or by which its class counts as acid at all."""
    of = class_of(component)
    return limits.acid or (of.acid if of is not None else None)


def warm_step(scenario: Scenario, made: Component, limits: FoodLimits) -> Step | None:
    """The last step that runs by itself in the warm."""
    warm = [s for s in made.steps if not s.hands and step_kept(scenario, s, limits) == "out"]
    return warm[-1] if warm else None


def made_of_one(scenario: Scenario, made: Component) -> bool:
    """Does a ferment go into it?"""
    return bool(_ferments_in(scenario, made))


def left_before(scenario: Scenario, made: Component) -> bool:
    """Is it a ferment and nothing else, in another state, that has left the warm before?

    Where something else goes in as well (a starter into a dough), that ferments now.
    """
    amounts = _ferments_in(scenario, made)
    taken = [t for s in made.steps for t in s.takes]
    if not amounts or len(amounts) != len(taken):
        return False
    makes = made.makes
    if any(a.dimension is not makes.dimension for a in amounts):
        return False
    return sum(a.base for a in amounts) >= makes.base


def _ferments_in(scenario: Scenario, made: Component) -> list[Quantity]:
    known = scenario.component
    return [
        t.amount
        for s in made.steps
        for t in s.takes
        if t.component is not None and is_ferment(known.get(t.component))
    ]


def wrong_gate(step: Step, limit: Measured) -> str | None:
    """What is wrong with the test at the end of such a step; None: its pH is low enough."""
    test = step.test
    if test is None or not test.of_ph:
        what = "no test" if test is None else f"a test of {test.measure} and none of its pH"
        return f"it ends with {what}; it leaves the warm at a pH of at most {limit}, recorded"
    if test.ph is None:
        return f"its pH is to be '{test.target}', which says no most; at most {limit}"
    if test.ph > limit.value:
        return f"{leaves_at(step)}; the most is {limit}"
    return None


def leaves_at(step: Step) -> str:
    """At which pH it leaves the warm."""
    most = step.test.ph if step.test is not None else None
    return f"it leaves the warm at a pH of at most {plain(most or Fraction(), 4)}, recorded"

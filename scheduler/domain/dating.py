"""Which food carries a date of use, and where it stands frozen: read off the written week."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from scheduler.domain.kept import step_kept, zone_kept
from scheduler.domain.profiles import class_of

if TYPE_CHECKING:
    from scheduler.domain.limits import FoodLimits
    from scheduler.domain.recipes import Component, Step, Wait
    from scheduler.domain.scenario import Scenario


class Dating(StrEnum):
    """How a component stands to the date of use.

    OWN: its date counts from the start of its own first step, or from the oldest
    of what goes into it. PASSES: it has none itself (raw, or nobody knows what it
    is), but that of what goes into it. NONE: exempt, and what goes into it counts
    until then only.
    """

    OWN = "own"
    PASSES = "passes"
    NONE = "none"


def dating(scenario: Scenario, component: Component) -> Dating:
    """How a component stands to the date of use, by its class of food.

    Raw food is not ready to eat and has no date, unless its own recipe cooks it
    (a step with a `core`): then from the start of that recipe. What is another
    state of something cooked is cooked. Fish that is served raw is ready to eat
    (FDA Food Code 1-201.10(B), "ready-to-eat food" (2)(a), second hand).
    """
    found = class_of(component)
    if found is None:
        return Dating.PASSES
    if not found.controlled:
        return Dating.NONE
    raw = found.raw and not found.served_raw and not _cooked(scenario, component, frozenset())
    return Dating.PASSES if raw else Dating.OWN


def _cooked(scenario: Scenario, component: Component, seen: frozenset[str]) -> bool:
    ways = (component.steps, *(method.steps for method in component.methods))
    if any(step.core is not None for steps in ways for step in steps):
        return True
    seen |= {component.id}
    before = [
        scenario.component[take.component]
        for step in component.steps[:1]
        for take in step.takes
        if take.component in scenario.component and take.component not in seen
    ]
    return any(
        one.food_class == component.food_class and _cooked(scenario, one, seen) for one in before
    )


def allowed(limits: FoodLimits) -> tuple[int, int] | None:
    """Days, the first counted, and the minutes up to which no date is needed; None: no rule."""
    if limits.date_mark is None:
        return None
    beyond = limits.date_mark_beyond
    return limits.date_mark.value, beyond.value if beyond is not None and beyond.hard else 0


def enforced(limits: FoodLimits) -> tuple[int, int] | None:
    """The same where a plan must obey it."""
    return allowed(limits) if limits.date_mark is not None and limits.date_mark.hard else None


def keeps_frozen(scenario: Scenario, component: Component, limits: FoodLimits) -> bool:
    """Does it stand frozen while it waits for its use, in whichever store it is put?"""
    rule = component.keeps[0]
    alike = [k.zone for k in component.keeps if k.same_room(rule)]
    return all(z is not None and zone_kept(scenario, z, limits) == "frozen" for z in alike)


def waits_frozen(scenario: Scenario, wait: Wait | None, limits: FoodLimits) -> bool:
    """Does it stand frozen between two steps?"""
    zone = wait.zone if wait is not None else None
    return zone is not None and zone_kept(scenario, zone, limits) == "frozen"


def runs_frozen(scenario: Scenario, step: Step, limits: FoodLimits) -> bool:
    """Is it frozen while a step runs?"""
    return step_kept(scenario, step, limits) == "frozen"


def stands_frozen(scenario: Scenario, store: str | None, limits: FoodLimits) -> bool:
    """Does what stands in a store stand frozen?"""
    known = scenario.store.get(store or "")
    return known is not None and zone_kept(scenario, known.zone, limits) == "frozen"

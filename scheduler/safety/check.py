"""Everything that the rules of food say about a written week, and about a plan of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from scheduler.domain.limits import DEFER
from scheduler.domain.methods import variants
from scheduler.domain.profiles import class_of, controlled, food_limits, profile_of
from scheduler.safety import allergens, cleaning, contact
from scheduler.safety.cooking import cooking
from scheduler.safety.cooling import cooling, cooling_planned
from scheduler.safety.dates import date_marks, dates_in_plan
from scheduler.safety.exposure import planned_out, shortest_out
from scheduler.safety.ferments import ferments
from scheduler.safety.finding import Finding, Standing
from scheduler.safety.holding import hot_waits, stores
from scheduler.safety.own import loosened
from scheduler.safety.parasites import parasites
from scheduler.safety.reheating import not_heated, reheating, reheating_planned
from scheduler.safety.young import barred, unguarded, unknown_age

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan


def classes(scenario: Scenario) -> Iterator[Finding]:
    """Which components time and temperature matter for, and why they do not for the others."""
    dated = " and has no date" if food_limits(scenario.kitchen).date_mark is not None else ""
    for component in scenario.components:
        name = component.name or component.id
        found = class_of(component)
        if found is None:
            word = component.food_class
            said = f"'{word}' is no class of food that is known" if word else "no `food_class`"
            said += ": nobody can say whether it must be kept cold"
            yield Finding(Standing.UNKNOWN, "food class", name, said)
        elif not found.controlled:
            said = f"needs no cold{dated}: {found.name}, {found.why}"
            yield Finding(Standing.FINE, "food class", name, said, found.told)
            for other in dict.fromkeys(_goes_in(scenario, component) if not found.ferment else ()):
                said = (
                    f"{other} goes in, for which time and temperature matter, and nothing heats it "
                    f"from there on: nobody can say whether it still is what its class says "
                    f"({found.name}); its time out and its date end here"
                )
                yield Finding(Standing.UNKNOWN, "food class", name, said, found.told)


def _goes_in(scenario: Scenario, component: Component) -> Iterator[str]:
    """Controlled food that something takes and does not heat afterwards, in any of its methods."""
    for made in variants(component):
        for n, step in enumerate(made.steps):
            if any(_heats(later) for later in made.steps[n:]):
                continue
            for take in step.takes:
                other = scenario.component.get(take.component or "")
                if other is not None and controlled(other):
                    yield other.name or other.id


def _heats(step: Step) -> bool:
    heated = any(need.setting is not None for need in step.on)
    return step.core is not None or step.kept == "hot" or heated


def unconfirmed(scenario: Scenario) -> Iterator[Finding]:
    """Limits that are told but not enforced, because nobody has looked them up."""
    profile = profile_of(scenario.kitchen)
    for name, limit in profile.food.named() if profile else ():
        if not limit.hard and not limit.advice:
            said = f"{limit}: not enforced until somebody has looked it up (`confirmed`)"
            yield Finding(Standing.NOTE, name, name.replace("_", " "), said, limit.source)


def unsaid(scenario: Scenario) -> Iterator[Finding]:
    """Limits that there are none of here, so that nothing is held against them; and why."""
    profile = profile_of(scenario.kitchen)
    reasons: dict[str, list[str]] = {}
    for name, why in profile.absent.items() if profile else ():
        reasons.setdefault(why, []).append(name.replace("_", " "))
    for why, names in reasons.items():
        where = ", ".join(names)
        yield Finding(Standing.NOTE, "no limit", where, f"nothing is held against it: {why}")


ALWAYS: tuple[Callable[[Scenario], Iterator[Finding]], ...] = (
    allergens.diets,
    allergens.without_plates,
    allergens.unwritten,
    allergens.words,
    contact.could_meet,
)
"""What is looked at in a written week whether or not the kitchen names a rule profile."""
RECIPES: tuple[Callable[[Scenario], Iterator[Finding]], ...] = (
    classes,
    cooking,
    parasites,
    cooling,
    stores,
    hot_waits,
    reheating,
    not_heated,
    shortest_out,
    date_marks,
    ferments,
    cleaning.steps,
    unknown_age,
    unguarded,
    loosened,
    unconfirmed,
    unsaid,
)
"""What is looked at besides where it does, in order."""
ALWAYS_PLANS: tuple[Callable[[Scenario, Plan], Iterator[Finding]], ...] = (contact.do_meet,)
"""What is looked at in a plan of it whether or not the kitchen names a rule profile."""
PLANS: tuple[Callable[[Scenario, Plan], Iterator[Finding]], ...] = (
    cooling_planned,
    reheating_planned,
    planned_out,
    dates_in_plan,
    cleaning.machines,
    barred,
)
"""What is looked at in a plan of it."""


def check(scenario: Scenario, plan: Plan | None = None) -> list[Finding]:
    """All findings on a written week, and on a plan where there is one.

    Where the kitchen names no rule profile, only what guests must not have.
    """
    found = [f for look in ALWAYS for f in look(scenario)]
    if plan is not None:
        found += [f for look in ALWAYS_PLANS for f in look(scenario, plan)]
    if profile_of(scenario.kitchen) is None:
        return found
    found += [f for look in RECIPES for f in look(scenario)]
    if plan is not None:
        found += [f for look in PLANS for f in look(scenario, plan)]
    return found


def broken_for_good(scenario: Scenario) -> list[Finding]:
    """What a recipe breaks of an enforced limit, whatever the times: no plan can mend it."""
    return [f for f in check(scenario) if f.standing is Standing.BROKEN and f.enforced]


def headline(scenario: Scenario) -> str:
    """Whose limits these are, and who decides."""
    profile = profile_of(scenario.kitchen)
    if profile is None:
        return (
            "The kitchen names no `rule_profile`, so no limit is checked (`--rules us` shows what "
            f"one says). {DEFER}"
        )
    return f"Limits: {profile.name}. {DEFER}"

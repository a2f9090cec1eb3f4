"""Cleaning every so often what controlled food touches out in the room (`clean_every`).

Told, not enforced: a plan cleans between two contents, and nobody stops a machine half-way.
Containers go with their food and are washed after it, and so does what holds several things on
trays or in pots; what is hot does not count; in a cold room it is less often
(`clean_every_cold`); what is exempt says why.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.containing import parts
from scheduler.domain.kept import step_kept
from scheduler.domain.methods import variants
from scheduler.domain.profiles import class_of, controlled, food_limits
from scheduler.domain.times import write_duration
from scheduler.plan.audit.amounts import shortest
from scheduler.plan.audit.facts import Facts
from scheduler.safety.finding import Finding, Standing, against

if TYPE_CHECKING:
    from scheduler.domain.food_class import FoodClass
    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.limits import FoodLimits, Length
    from scheduler.domain.recipes import Component, Need, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit.making import Making
    from scheduler.plan.model import Plan

RULE = "clean_every"
Use = tuple[int, int, "Length | None"]
"""Start, end, and how often it is cleaned at least; None: what does not count."""


def steps(scenario: Scenario) -> Iterator[Finding]:
    """Steps that by themselves are longer on a machine than it may go without cleaning."""
    limits = food_limits(scenario.kitchen)
    if limits.clean_every is None:
        return
    for component in scenario.components:
        known = class_of(component)
        for made in variants(component) if known is not None else ():
            for step in made.steps:
                kinds = _touches(scenario, step.on)
                every = [e for k in kinds if (e := _every(scenario, limits, k, step)) is not None]
                if every and known:
                    on = [k.name or k.id for k in kinds]
                    yield from _step(component, step, on, known, _strictest(every))


def _step(
    component: Component, step: Step, on: list[str], known: FoodClass, limit: Length
) -> Iterator[Finding]:
    minutes = shortest(step.time, component.makes, component)
    where = f"{component.name or component.id}, {step.name or step.id}"
    said = f"is on {' and '.join(on)} for {write_duration(minutes)}"
    standing = _standing(minutes, limit)
    if known.controlled and standing is not Standing.FINE:
        said += f" without cleaning; such food at most {limit}"
        yield Finding(standing, RULE, where, said, limit.source)
    elif minutes > limit.value:
        said += f", more than {limit}, and needs no cleaning in between: {known.name}, {known.why}"
        yield Finding(Standing.FINE, RULE, where, said, known.source)


def _standing(minutes: int, limit: Length) -> Standing:
    """What nobody has looked up is near at worst."""
    standing = against(minutes, limit.value)
    return Standing.NEAR if standing is Standing.BROKEN and not limit.hard else standing


def _touches(scenario: Scenario, needs: tuple[Need, ...]) -> list[Equipment]:
    """Kinds of equipment that food touches."""
    kinds = (scenario.units_of(n.equipment)[0][0] for n in needs if n.equipment is not None)
    return [kind for kind in kinds if kind.touches]


def _every(
    scenario: Scenario, limits: FoodLimits, kind: Equipment, step: Step | None
) -> Length | None:
    """How often a machine is cleaned that such food touches in a step; None: hot food, no limit.

    By the room it stands in; what is kept cold in a step without that counts as in a room as
    warm as cold food may be.
    """
    kept = "out" if step is None else step_kept(scenario, step, limits)
    cold = limits.clean_every_cold
    if kept == "hot":
        return None
    if kind.room is not None:
        return (cold.at(kind.room) if cold is not None else None) or limits.clean_every
    if kept == "out":
        return limits.clean_every
    return cold.at(limits.cold.value) if cold is not None and limits.cold is not None else None


def _strictest(every: list[Length]) -> Length:
    return min(every, key=lambda limit: limit.value)


def machines(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """Machines that the plan uses for longer than they may go without cleaning.

    The clock runs from the first use by such food to the end of the last one before a
    clean-down, against the strictest limit of these uses. What is not used for as long as the
    limit itself is taken as cleaned with the rest of the kitchen: our own reading.
    """
    if food_limits(scenario.kitchen).clean_every is None:
        return
    facts = Facts(scenario, plan)
    for unit, uses in sorted(_uses(facts).items()):
        name = scenario.unit[unit][1].id
        cleaned = [c.start for c in plan.clean_downs if c.unit == unit]
        worst: tuple[int, Length] | None = None
        for since, end, limit in _runs(sorted(uses, key=lambda u: u[:2]), cleaned):
            standing = _standing(end - since, limit)
            if standing is Standing.FINE:
                if worst is None or end - since > worst[0]:
                    worst = end - since, limit
                continue
            said = (
                f"{facts.span(since, end)} {write_duration(end - since)} without cleaning, "
                f"at most {limit}"
            )
            if end - since > limit.value:
                said += f": clean it by {facts.at(since + limit.value)}"
            yield Finding(standing, RULE, name, said, limit.source)
        if worst is not None:
            said = f"at most {write_duration(worst[0])} without cleaning, of {worst[1]}"
            yield Finding(Standing.FINE, RULE, name, said, worst[1].source)


def _runs(uses: list[Use], cleaned: list[int]) -> Iterator[tuple[int, int, Length]]:
    """From the first use by controlled food to the end of the last before each cleaning."""
    run: tuple[int, int, Length] | None = None
    last = 0
    for start, end, limit in uses:
        if run is not None and (
            start - last >= run[2].value or any(last <= moment < start for moment in cleaned)
        ):
            yield run
            run = None
        if limit is not None:
            since, until, strict = run or (start, end, limit)
            run = since, max(end, until), _strictest([strict, limit])
        last = max(last, end)
    if run is not None:
        yield run


def _uses(facts: Facts) -> dict[str, list[Use]]:
    """What food touches of the plan's machines, by unit."""
    found: dict[str, list[Use]] = defaultdict(list)
    limits = food_limits(facts.scenario.kitchen)
    for making in facts.makings.values():
        for stage in making.to_come:
            counts = _controlled(facts, making)
            for task in making.of(stage):
                for taken in (*task.taken, *(t for v in task.visits for t in v.taken)):
                    kind = facts.scenario.unit[taken.unit][0] if taken.unit else None
                    if taken.unit and kind and kind.touches and taken.start < taken.end:
                        every = _every(facts.scenario, limits, kind, stage.step) if counts else None
                        found[taken.unit].append((taken.start, taken.end, every))
    return found


def _controlled(facts: Facts, making: Making) -> bool:
    """Is it, or anything on the plate, food that time and temperature matter for?"""
    recipe, of = making.dish, facts.scenario.component
    if making.component is not None:
        components = [making.component]
    else:
        swap = making.diet.swap if making.diet else None
        components = [of[n] for n in parts(recipe, swap)] if recipe else []
    return any(controlled(c) for c in components)


"""Cleaning every so often what controlled food touches out in the room (`clean_every`).

Told, not enforced: a plan cleans between two contents, and nobody stops a machine half-way.
Containers go with their food and are washed after it; what is hot or in the cold does not
count; what is exempt says why.
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
    from scheduler.domain.limits import FoodClass, Length
    from scheduler.domain.recipes import Component, Need, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.audit.making import Making, Stage
    from scheduler.plan.model import Plan

RULE = "clean_every"
Use = tuple[int, int, bool]
"""Start, end, and is it of controlled food kept out?"""


def steps(scenario: Scenario) -> Iterator[Finding]:
    """Steps that by themselves are longer on a machine than it may go without cleaning."""
    limits = food_limits(scenario.kitchen)
    if limits.clean_every is None:
        return
    for component in scenario.components:
        known = class_of(component)
        for made in variants(component) if known is not None else ():
            for step in made.steps:
                on = _touches(scenario, step.on)
                if on and known and step_kept(scenario, step, limits) == "out":
                    yield from _step(component, step, on, known, limits.clean_every)


def _step(
    component: Component, step: Step, on: list[str], known: FoodClass, limit: Length
) -> Iterator[Finding]:
    minutes = shortest(step.time, component.makes, component)
    where = f"{component.name or component.id}, {step.name or step.id}"
    said = f"is on {' and '.join(on)} for {write_duration(minutes)}"
    standing = against(minutes, limit.value)
    if known.controlled and standing is not Standing.FINE:
        said += f" without cleaning; such food at most {limit}"
        yield Finding(standing, RULE, where, said, limit.source)
    elif minutes > limit.value:
        said += f", more than {limit}, and needs no cleaning in between: {known.name}, {known.why}"
        yield Finding(Standing.FINE, RULE, where, said, known.source)


def _touches(scenario: Scenario, needs: tuple[Need, ...]) -> list[str]:
    """Kinds of equipment that food touches out in the room: no ovens and no containers."""
    found = []
    for need in needs:
        if need.equipment is not None:
            kind = scenario.units_of(need.equipment)[0][0]
            if kind.heat is None and kind.per_shelf is None:
                found.append(kind.name or kind.id)
    return found


def machines(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """Machines that the plan uses for longer than they may go without cleaning.

    The clock runs from the first use by such food to the end of the last one before a
    clean-down. What is not used for as long as the limit itself is taken as cleaned with
    the rest of the kitchen: our own reading.
    """
    limit = food_limits(scenario.kitchen).clean_every
    if limit is None:
        return
    facts = Facts(scenario, plan)
    for unit, uses in sorted(_uses(facts).items()):
        name = scenario.unit[unit][1].id
        cleaned = [c.start for c in plan.clean_downs if c.unit == unit]
        worst = 0
        for since, end in _runs(sorted(uses), cleaned, limit.value):
            standing = against(end - since, limit.value)
            worst = max(worst, end - since)
            if standing is not Standing.FINE:
                said = (
                    f"{facts.span(since, end)} {write_duration(end - since)} without cleaning, "
                    f"at most {limit}"
                )
                if standing is Standing.BROKEN:
                    said += f": clean it by {facts.at(since + limit.value)}"
                yield Finding(standing, RULE, name, said, limit.source)
        if worst and against(worst, limit.value) is Standing.FINE:
            said = f"at most {write_duration(worst)} without cleaning, of {limit}"
            yield Finding(Standing.FINE, RULE, name, said, limit.source)


def _runs(uses: list[Use], cleaned: list[int], limit: int) -> Iterator[tuple[int, int]]:
    """From the first use by controlled food to the end of the last before each cleaning."""
    since: int | None = None
    last = until = 0
    for start, end, counts in uses:
        if since is not None and (
            start - last >= limit or any(last <= moment < start for moment in cleaned)
        ):
            yield since, until
            since = None
        if counts:
            since = start if since is None else since
            until = max(end, until)
        last = max(last, end)
    if since is not None:
        yield since, until


def _uses(facts: Facts) -> dict[str, list[Use]]:
    """What food touches of the plan's machines, by unit."""
    found: dict[str, list[Use]] = defaultdict(list)
    for making in facts.makings.values():
        for stage in making.to_come:
            counts = _controlled(facts, making) and _out(facts, stage)
            for task in making.of(stage):
                for taken in (*task.taken, *(t for v in task.visits for t in v.taken)):
                    kind = facts.scenario.unit[taken.unit][0] if taken.unit else None
                    touched = kind is not None and kind.heat is None and kind.per_shelf is None
                    if taken.unit and touched and taken.start < taken.end:
                        found[taken.unit].append((taken.start, taken.end, counts))
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


def _out(facts: Facts, stage: Stage) -> bool:
    limits = food_limits(facts.scenario.kitchen)
    return stage.step is None or step_kept(facts.scenario, stage.step, limits) == "out"

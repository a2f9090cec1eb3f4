"""Where a cooling step starts, against where what was before it has left the food."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.domain.celsius import write_celsius
from scheduler.domain.cooled import between_counts, heats, limit_of, matters, part_of
from scheduler.domain.cooling import NOISE, whole
from scheduler.domain.exposed import Exposing
from scheduler.domain.times import write_duration
from scheduler.safety.cooling_rows import between_steps, planned
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.limits import Cooling, FoodLimits
    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario

RULE = "cooling"


def starts(
    scenario: Scenario, name: str, made: Component | Dish, limits: FoodLimits
) -> Iterator[Finding]:
    """A step that cools from colder than what was before has left the food.

    At once after it that is broken. Where it was hot and is out in between, that counts.
    """
    for n, (one, step) in enumerate(pairwise(made.steps), start=1):
        cool, wait = step.cooling, one.then
        if cool is None or not matters(scenario, made, n):
            continue
        limit, where = limit_of(scenario, made.steps, n, limits), f"{name}, {step.name or step.id}"
        reached = one.cooling.end if one.cooling else one.core.at if one.core else None
        if (wait is not None and wait.at_most > 0) or reached is None:
            yield from _on_the_bench(scenario, name, made, n, limit)
            continue
        if reached <= cool.start:
            continue
        if limit is not None and cool.start >= max(f.start for f in limit.windows):
            continue  # What lies between is above every window.
        said = (
            f"cools from {write_celsius(cool.start)} at once after '{one.name or one.id}', which "
            f"ends at {write_celsius(reached)}: nobody counts the time in between; write `from: "
            f"{write_celsius(reached)}`, or the wait in which it gets there"
        )
        hard = limit is not None and limit.hard
        standing = Standing.UNKNOWN if limit is None else Standing.BROKEN
        source = limit.source if limit is not None else ""
        yield Finding(standing, RULE, where, said, source, hard)


def _on_the_bench(
    scenario: Scenario, name: str, made: Component | Dish, n: int, limit: Cooling | None
) -> Iterator[Finding]:
    """What was hot, and is out until it cools from a temperature in a window."""
    step, rules = made.steps[n], Exposing(scenario)
    cool, first = step.cooling, n - 1
    while first >= 0 and not heats(scenario, made.steps[first], rules.limits):
        if made.steps[first].cooling or rules.runs(made, made.steps[first]) != "out":
            return
        first -= 1
    if first < 0 or any(rules.waits(made, s) != "out" for s in made.steps[first:n]):
        return
    apart = between_steps(scenario, made, first, n)
    for fall in limit.windows if limit is not None and cool is not None else ():
        if cool is None or limit is None or not between_counts(None, cool, fall):
            continue
        itself = part_of(cool, fall).inside * planned(scenario, made, step)
        minutes = apart + itself
        if itself <= fall.within + NOISE < minutes:
            hot, where = made.steps[first], f"{name}, {step.name or step.id}"
            said = (
                f"cools from {write_celsius(cool.start)}, and nobody says when it got there: from "
                f"the end of '{hot.name or hot.id}' on {write_duration(whole(minutes))} at least, "
                f"for {fall}; a step with `cooling` from where it begins to cool says it"
            )
            yield Finding(
                Standing.BROKEN, RULE, where, said, limit.source, limit.hard
            )
            return

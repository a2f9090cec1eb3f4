"""Clean-down: between two contents of a machine, where the first must not get into the second."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING

from scheduler.domain.residue import left_behind, told
from scheduler.plan.audit.amounts import up
from scheduler.plan.audit.facts import lasting

if TYPE_CHECKING:
    from scheduler.domain.kitchen import CleanDown
    from scheduler.domain.residue import Between
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making
    from scheduler.plan.model import PlannedCleanDown

Use = tuple[int, int, str, frozenset[str]]
"""Start, end, task, what it leaves behind."""


def check(facts: Facts) -> None:
    """Rule `clean-down`."""
    uses: dict[str, list[Use]] = defaultdict(list)
    for making in facts.makings.values():
        for stage in making.to_come:
            for task in making.of(stage):
                for taken in (*task.taken, *(t for v in task.visits for t in v.taken)):
                    known = facts.scenario.unit.get(taken.unit or "")
                    of = known[0].clean_down if known else None
                    if known and of is not None and taken.start < taken.end:
                        left = _left_behind(facts, making, of.between)
                        uses[known[1].id].append((taken.start, taken.end, task.id, left))
    planned = {(c.unit, c.after, c.before): c for c in facts.plan.clean_downs}
    for unit, found in uses.items():
        rule = facts.scenario.unit[unit][0].clean_down
        for one, two in pairwise(sorted(found, key=lambda use: use[:3])):
            if rule is not None and one[2] != two[2] and not one[3] <= two[3]:
                _cleaned(facts, unit, rule, one, two, planned.pop((unit, one[2], two[2]), None))
    for done in planned.values():
        facts.broken("clean-down", done.id, f"nothing calls for it between {done.after} and "
                     f"{done.before} on {done.unit}")  # fmt: skip


def _left_behind(facts: Facts, making: Making, between: Between) -> frozenset[str]:
    """What a batch leaves in a machine, by the kitchen's rule."""
    recipe = making.component or making.dish
    if recipe is None:
        return frozenset()
    return left_behind(facts.scenario, between, recipe, making.diet)


def _cleaned(
    facts: Facts, unit: str, rule: CleanDown, one: Use, two: Use, done: PlannedCleanDown | None
) -> None:
    """One between the two, as long as written, and when the kitchen says."""
    if done is None:
        facts.broken(
            "clean-down",
            unit,
            f"is not cleaned between {one[2]} and {two[2]}, {facts.span(one[1], two[0])}; "
            f"{told(one[3] - two[3])} must not get into it",
        )
        return
    if done.end - done.start != up(rule.time, facts.grid):
        facts.broken(
            "clean-down",
            done.id,
            f"takes {lasting(done.end - done.start)}, by the kitchen {lasting(rule.time)}",
        )
    if done.start < one[1] or done.end > two[0]:
        facts.broken(
            "clean-down",
            done.id,
            f"is {facts.span(done.start, done.end)}; {unit} is empty {facts.span(one[1], two[0])}",
        )
    elif rule.when == "at once" and done.start != one[1]:
        facts.broken(
            "clean-down",
            done.id,
            f"begins {facts.at(done.start)}, not at once {facts.at(one[1])}",
        )

"""Ferments: what is planned leaves the warm only through a pH that is measured and low enough."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.gated import is_ferment, left_before, most_ph, warm_step, wrong_gate
from scheduler.domain.profiles import food_limits, profile_of

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts


def check(facts: Facts) -> None:
    """Rule `ph`: of each batch by the method it is planned with, if it still is in the warm."""
    scenario = facts.scenario
    if profile_of(scenario.kitchen) is None:
        return
    limits = food_limits(scenario.kitchen)
    for making in facts.makings.values():
        made = making.component
        if made is None or making.id not in facts.placed or not is_ferment(made):
            continue
        limit, warm = most_ph(made, limits), warm_step(scenario, made, limits)
        if limit is None or not limit.hard or warm is None or left_before(scenario, made):
            continue
        wrong = wrong_gate(warm, limit)
        if wrong is not None and warm in [stage.step for stage in making.to_come]:
            facts.broken("ph", f"{making.id}/{warm.id}", f"{wrong} ({limit.source})")

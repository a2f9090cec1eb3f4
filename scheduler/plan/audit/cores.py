"""Cores: what comes raw is cooked hot enough for long enough on its way to every plate."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.celsius import write_celsius
from scheduler.domain.cooked import enough
from scheduler.domain.profiles import food_classes, food_limits
from scheduler.domain.times import write_duration
from scheduler.plan.audit.following import Leg, begins_with, ways_to_plates

if TYPE_CHECKING:
    from scheduler.domain.food_class import FoodClass
    from scheduler.domain.limits import Core
    from scheduler.plan.audit.facts import Facts


def check(facts: Facts) -> None:
    """Rule `core`: of what its recipes cook, as they are planned; where no core is said: nothing.

    Only limits that are enforced.
    """
    limits = food_limits(facts.scenario.kitchen)
    for of in food_classes().values():
        limit = limits.cook(of.cook)
        if limit is not None and limit.hard and of.raw and not of.served_raw:
            _class(facts, of, limit)


def _class(facts: Facts, of: FoodClass, limit: Core) -> None:
    roasts = food_limits(facts.scenario.kitchen).roasts if of.roast else None

    def cooked(leg: Leg) -> bool:
        return any(s.core is not None and enough(s.core, limit, roasts) for s in leg.steps)

    told: set[str] = set()
    for source in begins_with(facts, of.id):
        for way in ways_to_plates(facts, source, cooked):
            cores = [s.core for leg in way for s in leg.steps if s.core is not None]
            where = way[-1].making.id
            if cores and where not in told:
                told.add(where)
                most = max(cores, key=lambda core: (core.at, core.for_))
                so_long = f" for {write_duration(most.for_)}" if most.for_ else ""
                least = f"{limit}" if roasts is None else f"{limit} (or by the table of roasts)"
                facts.broken(
                    "core",
                    where,
                    f"{source} in it gets to {write_celsius(most.at)} at the core{so_long}; at "
                    f"least {least} ({limit.source})",
                )

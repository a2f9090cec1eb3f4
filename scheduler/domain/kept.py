"""How food is kept, by its temperature: while it waits in a zone, and while a step runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.limits import FoodLimits, Kept

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Store
    from scheduler.domain.limits import Temperature
    from scheduler.domain.recipes import Step
    from scheduler.domain.scenario import Scenario

FROZEN_FROM = -12
"""°C: what never gets warmer is frozen. Our own choice: a freezer is kept at -18 °C."""
USUALLY_HOT = 63
"""°C, where the profile has no limit for what is kept hot; the highest of those read."""
BY_NAME: dict[str, Kept] = {"chilled": "cold", "frozen": "frozen", "hot": "hot"}
"""What a zone's own name promises; its stores' temperatures are held against that."""


def hot_limit(limits: FoodLimits, roast: bool = False) -> Temperature | None:
    """At least how hot food is kept; some codes let roasts be kept less hot."""
    return limits.hot_roasts if roast and limits.hot_roasts is not None else limits.hot


def zone_kept(scenario: Scenario, zone: str, limits: FoodLimits, roast: bool = False) -> Kept:
    """How food (or a roast cooked by the table) is kept in the worst store of a zone.

    A store that says no temperature is as its zone's name says (chilled,
    frozen, hot); a zone of any other name is the room.
    """
    kinds = {
        _kept(store, limits, BY_NAME.get(zone, "out"), roast)
        for store in scenario.kitchen.stores
        if store.zone == zone
    }
    if kinds == {"frozen", "cold"}:
        return "cold"
    return kinds.pop() if len(kinds) == 1 else "out"


def _kept(store: Store, limits: FoodLimits, name: Kept, roast: bool) -> Kept:
    if store.coldest is None and store.warmest is None:
        return name
    if store.warmest is not None and store.warmest <= FROZEN_FROM:
        return "frozen"
    cold, hot = limits.cold, hot_limit(limits, roast)
    if cold is not None and store.warmest is not None and store.warmest <= cold.value:
        return "cold"
    if hot is not None and store.coldest is not None and store.coldest >= hot.value:
        return "hot"
    # Without a limit only the name can say what is cold enough.
    lacks = cold if name == "cold" else hot
    return name if lacks is None and name in ("cold", "hot") else "out"


def step_kept(scenario: Scenario, step: Step, limits: FoodLimits, roast: bool = False) -> Kept:
    """How food is kept while a step runs, where the step does not say so itself.

    On shelves of a zone as that zone keeps it; in an oven that is at least as
    hot as hot food is kept: hot; anywhere else out.
    """
    if step.kept is not None:
        return step.kept
    zones = {
        zone_kept(scenario, need.zone, limits, roast) for need in step.on if need.zone is not None
    }
    if zones:
        return zones.pop() if len(zones) == 1 else "out"
    hot = hot_limit(limits, roast)
    least = hot.value if hot is not None else USUALLY_HOT
    if any(need.setting is not None and need.setting.coldest >= least for need in step.on):
        return "hot"
    return "out"

"""Out of temperature control: whose food, which steps and places count, and what starts it anew."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from scheduler.domain.cooked import enough
from scheduler.domain.cooled import hard_limit
from scheduler.domain.cooling import between, whole
from scheduler.domain.kept import hot_limit, step_kept, zone_kept
from scheduler.domain.limits import FoodLimits, Kept
from scheduler.domain.methods import ARRIVES
from scheduler.domain.profiles import controlled, food_classes, food_limits
from scheduler.heat.cooling import Never

if TYPE_CHECKING:
    from scheduler.domain.food_class import FoodClass
    from scheduler.domain.limits import Exposure, Within
    from scheduler.domain.recipes import Component, Dish, Step
    from scheduler.domain.scenario import Scenario

OWN_READING = (
    "counted from its last hot core, which is our own reading: no document that was read says so"
)
"""Said wherever a sum is shown that a hot core has started again (`Exposing.anew`)."""


class Exposing:
    """What the words of a week say about time out of temperature control; no times.

    Attributes
    ----------
    limits : FoodLimits
        Those of the kitchen.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.limits: FoodLimits = food_limits(scenario.kitchen)
        self._zones: dict[tuple[str, bool], Kept] = {}

    @cached_property
    def limit(self) -> Exposure | None:
        """How long food may be out in all, where a plan is held to it."""
        limit = self.limits.exposure
        return limit if limit is not None and limit.hard else None

    @property
    def back(self) -> Within | None:
        """After how long out it may no longer go into the cold, where a plan is held to it."""
        limit = self.limits.rechill
        return limit if limit is not None and limit.hard and self.limit else None

    @property
    def works(self) -> bool:
        """Does work count, or waiting alone?"""
        return self.limits.exposure is None or self.limits.exposure.counts == "everything"

    def zone(self, zone: str | None, of: Component | Dish | None) -> Kept:
        """How something is kept that waits in a zone; at the bench it is out."""
        if zone is None:
            return "out"
        key = zone, self.roast(of)
        if key not in self._zones:
            self._zones[key] = zone_kept(self.scenario, zone, self.limits, key[1])
        return self._zones[key]

    def store(self, store: str | None, of: Component | Dish | None) -> Kept:
        """How something is kept that waits in a store, by its zone."""
        found = self.scenario.store.get(store or "")
        return self.zone(found.zone if found is not None else None, of)

    def step(self, step: Step, of: Component | Dish | None) -> Kept:
        """How food is kept by a step; what cools is kept cold by it."""
        if step.cooling is not None:
            return "cold"
        if step.id == ARRIVES and not step.on:
            return "cold"  # Until it is here it is the supplier's.
        return step_kept(self.scenario, step, self.limits, self.roast(of))

    def runs(self, maker: Component | Dish, step: Step) -> Kept:
        """How food is kept while a step runs.

        What cools counts as cold where a limit on cooling holds it, and out where none does: of
        things at room temperature where the profile has no limit for that, or guidance alone.
        """
        if step.cooling is not None:
            if hard_limit(self.scenario, maker, step.id) is not None:
                return "cold"
            return "out" if self._warm(maker, step) > 0 else "cold"
        return self.step(step, maker)

    def out_of(self, maker: Component | Dish, step: Step, minutes: int) -> int:
        """So much of the minutes of a step is out; of what cools what lies above the cold."""
        if not self.works or self.runs(maker, step) != "out":
            return 0
        return minutes if step.cooling is None else whole(minutes * self._warm(maker, step))

    def _warm(self, maker: Component | Dish, step: Step) -> float:
        """The part of a cooling step in which food is neither hot nor cold, as estimated."""
        cool, cold = step.cooling, self.limits.cold
        hot = hot_limit(self.limits, self.roast(maker))
        if cool is None:
            return 0.0
        all_of_it = between(cool, cool.start, cool.end)
        part = between(
            cool,
            cool.start if hot is None else hot.value,
            cool.end if cold is None else cold.value,
        )
        if isinstance(all_of_it, Never) or isinstance(part, Never):
            return 1.0
        return part / all_of_it if all_of_it > 0 else 0.0

    def stays(self, maker: Component | Dish, step: Step) -> Kept:
        """How food is kept that stays in the machine when a step is over."""
        if step.cooling is None:
            return self.step(step, maker)
        cold = self.limits.cold
        return "cold" if cold is None or step.cooling.end <= cold.value else "out"

    def waits(self, maker: Component | Dish, step: Step) -> Kept:
        """How food is kept that waits between a step and the next."""
        wait = step.then
        if wait is not None and wait.in_machine:
            return self.stays(maker, step)
        kept = self.zone(None if wait is None else wait.zone, maker)
        return "out" if kept in ("cold", "frozen") and self.still_hot(maker, step) else kept

    def still_hot(self, maker: Component | Dish, step: Step) -> bool:
        """Has it got hot, and is to cool in the next step: so it is not cold in between?"""
        at = [s.id for s in maker.steps].index(step.id) + 1
        return step.core is not None and any(s.cooling for s in maker.steps[at : at + 1])

    def offered(self, component: Component) -> tuple[str | None, ...]:
        """Zones in which a plan lets a component stand.

        Those with the limit and the footprint of the first; of controlled food not those where it
        would be out, where there are others.
        """
        rule = component.keeps[0]
        zones = dict.fromkeys(
            k.zone
            for k in component.keeps
            if k is rule or (k.zone is not None and k.same_room(rule))
        )
        if rule.zone is None:
            return (None,)
        kept = tuple(z for z in zones if self.zone(z, component) != "out")
        if self.limit is not None and controlled(component) and kept:
            return kept
        return tuple(zones)

    def keeps_out(self, component: Component) -> bool:
        """Is it out where a plan lets it stand (in one of these places)?"""
        return any(self.zone(z, component) == "out" for z in self.offered(component))

    def anew(self, maker: Component | Dish, step: Step) -> bool:
        """Does a step get the food so hot that its time out starts again from nothing?

        It reaches what the profile asks for cooking its class, or the classes of what is raw in
        it; where nothing is raw, or the profile has no figure for that, what it asks for
        reheating. As hot as hot food is kept is not enough for what is not raw. That it starts
        again is our own reading (`OWN_READING`).
        """
        if step.core is None:
            return False
        raw = self.raw(maker)
        if self.roasted(maker, step):
            return True
        asked = [limit for c in raw if (limit := self.limits.cook(c)) is not None]
        if asked:
            return all(enough(step.core, limit) for limit in asked)
        reheat, hot = self.limits.reheat, self.limits.hot
        if reheat is None or (not raw and hot is not None and reheat.value <= hot.value):
            return False
        return enough(step.core, reheat)

    def roast(self, maker: Component | Dish | None) -> bool:
        """May it be kept less hot than other food: a whole roast, cooked by the table?"""
        if maker is None or self.limits.hot_roasts is None:
            return False
        return any(self.roasted(maker, step) for step in maker.steps)

    def roasted(self, maker: Component | Dish, step: Step) -> bool:
        """Is it whole meat, and cooked by the table of whole roasts in this step?"""
        raw, roasts = self._raw(maker), self.limits.roasts
        if step.core is None or roasts is None or not raw or not all(c.roast for c in raw):
            return False
        return enough(step.core, None, roasts)

    def raw(self, maker: Component | Dish) -> set[str]:
        """As what it must be cooked: by its own class and those of what its steps take."""
        return {c.cook for c in self._raw(maker) if c.cook is not None}

    def _raw(self, maker: Component | Dish) -> list[FoodClass]:
        """Raw classes of which something is in it."""
        own = getattr(maker, "food_class", None)
        taken = (
            self.scenario.component[t.component].food_class
            for s in maker.steps
            for t in s.takes
            if t.component in self.scenario.component
        )
        found = (food_classes().get(name or "") for name in dict.fromkeys((own, *taken)))
        return [c for c in found if c is not None and c.cook is not None]


"""Out of temperature control: how long at least by the recipes, and how long in a plan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.exposed import Exposing
from scheduler.domain.methods import BOUGHT, made_by, methods_of
from scheduler.domain.profiles import controlled
from scheduler.domain.recipes import Decides
from scheduler.domain.times import write_duration
from scheduler.plan.audit.exposure import Exposure
from scheduler.plan.audit.facts import Facts
from scheduler.safety.finding import Finding, Standing, against

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Dish, Step, Take
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

RULE = "exposure"


def shortest_out(scenario: Scenario) -> Iterator[Finding]:
    """How long the food of every dish is out at least, however quickly it is made."""
    least = Least(scenario)
    limit, back = least.rules.limits.exposure, least.rules.limits.rechill
    if limit is None:
        return
    for dish in scenario.dishes:
        if not any(controlled(c) for c in _taken(scenario, dish)):
            continue
        minutes = least.dish(dish)
        said = f"out for {write_duration(minutes)} at least before it is plated; limit {limit}"
        standing = against(minutes, limit.value)
        hard = limit.hard and standing is Standing.BROKEN
        yield Finding(standing, RULE, dish.name or dish.id, said, limit.source, hard)
    for name, minutes in least.cold.items():
        if back is not None and minutes > back.value:
            component = scenario.component[name]
            said = (
                f"out for {write_duration(minutes)} at least before it goes into the cold; "
                f"after {back} it may not"
            )
            yield Finding(
                Standing.BROKEN, "rechill", component.name or name, said, back.source, back.hard
            )


def planned_out(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """How long the food of every dish is out in a plan, and what nobody knows."""
    facts = Facts(scenario, plan)
    exposure = Exposure(facts)
    limit, back = exposure.rules.limits.exposure, exposure.rules.limits.rechill
    if limit is None:
        return
    for making in facts.makings.values():
        out = exposure.most(making)
        if making.dish is None or making.id not in facts.placed or not out.minutes:
            continue
        standing = against(out.minutes, limit.value)
        said = f"{out}; limit {limit}"
        hard = limit.hard and standing is Standing.BROKEN
        yield Finding(standing, RULE, making.id, said, limit.source, hard)
    for name, out in exposure.back.items():
        if back is not None and out.minutes > back.value:
            said = f"{out}, and goes back into the cold; after {back} it may not"
            yield Finding(Standing.BROKEN, "rechill", name, said, back.source, back.hard)
    for name, component in _there(scenario):
        if controlled(scenario.component[component]):
            said = "how long it was out before planning begins is not known, and counted as nothing"
            yield Finding(Standing.NOTE, RULE, name, said)


class Least:
    """The shortest time out of recipes: quantities, and how people are busy, are left out.

    Attributes
    ----------
    cold : dict of str to int
        Of components that must go into the cold: how long they are out before that at least.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.rules = Exposing(scenario)
        self.cold: dict[str, int] = {}
        self.there = {component for _, component in _there(scenario)}
        self._ready: dict[str, int] = {}

    def dish(self, dish: Dish) -> int:
        """Until plating begins, by the quickest of its methods, minutes."""
        found = []
        for method in methods_of(dish):
            made = made_by(dish, method)
            minutes, worst, _ = self._steps(made, made.steps[self._first(made) :])
            plated = max(minutes, *(self._taken(t) for t in made.takes), 0)
            found.append(max(worst, plated))
        return min(found)

    def _first(self, dish: Dish) -> int:
        """Its first step that takes what time out matters for; there may be none."""
        known = self.scenario.component
        taking = (
            n
            for n, step in enumerate(dish.steps)
            if any(t.component and controlled(known[t.component]) for t in step.takes)
        )
        return next(taking, len(dish.steps))

    def _component(self, component: Component) -> int:
        """When it is ready, by the quickest of its methods; nothing where some is there already."""
        name = component.id
        if name not in self._ready:
            self._ready[name] = 0  # It may need itself.
            if component.steps and name not in self.there and controlled(component):
                ways = [
                    self._steps(made_by(component, m), made_by(component, m).steps)
                    for m in methods_of(component)
                ]
                self._ready[name] = min(minutes for minutes, _, _ in ways)
                cold = min(max(cold, default=0) for _, _, cold in ways)
                keep = component.keeps[0]
                if keep.not_before and self.rules.zone(keep.zone, component) in ("cold", "frozen"):
                    cold = max(cold, self._ready[name])
                self.cold[name] = cold
        return self._ready[name]

    def _taken(self, take: Take) -> int:
        """Of what a step or a plate takes, when it is taken."""
        component = self.scenario.component.get(take.component or "")
        if component is None or not controlled(component):
            return 0
        waits = component.keeps[0].not_before if self.rules.keeps_out(component) else 0
        return self._component(component) + waits

    def _steps(
        self, maker: Component | Dish, steps: tuple[Step, ...]
    ) -> tuple[int, int, list[int]]:
        """At the end; the most there was on the way; and before everything that is in the cold."""
        out, worst, cold = 0, 0, [0]
        for step in steps:
            out = max(out, *(self._taken(t) for t in step.takes), 0)
            worst, kept = max(worst, out), self.rules.step(step, maker)
            if self.rules.anew(maker, step):
                out = 0
            elif kept == "out" and self.rules.works:
                out += _least(step)
            elif kept in ("cold", "frozen"):
                cold.append(out)
            wait = step.then
            if wait is not None and wait.not_before:
                kept = kept if wait.in_machine else self.rules.zone(wait.zone, maker)
                if kept == "out":
                    out += wait.not_before
                elif kept in ("cold", "frozen"):
                    cold.append(out)
            worst = max(worst, out)
        return out, worst, cold


def _least(step: Step) -> int:
    """The shortest a step can be planned, minutes: what grows with the quantity left out."""
    time = step.time
    if time.decides is Decides.IT and time.at_most is not None:
        return time.at_most
    share = max((line.up_to or 1 for line in step.hands), default=1)
    return time.undivided + -(-(time.at_least - time.undivided) // share)


def _there(scenario: Scenario) -> list[tuple[str, str]]:
    """What is on hand or begun when planning begins: its id, and of which component."""
    on_hand = [(lot.id, lot.component) for lot in scenario.week.on_hand]
    return on_hand + [(begun.id, begun.component) for begun in scenario.week.in_progress]


def _taken(scenario: Scenario, dish: Dish) -> list[Component]:
    names = (t.component for m in methods_of(dish) if m != BOUGHT for t in made_by(dish, m).inputs)
    return [scenario.component[n] for n in names if n is not None]

"""Out of temperature control: how long at least by the recipes, and how long in a plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.domain.exposed import OWN_READING, Exposing
from scheduler.domain.methods import BOUGHT, made_by, methods_of
from scheduler.domain.profiles import controlled
from scheduler.domain.recipes import Decides, Dish
from scheduler.domain.times import write_duration
from scheduler.plan.audit.exposure import Exposure, fell
from scheduler.plan.audit.facts import Facts
from scheduler.safety.finding import Finding, Standing, against

if TYPE_CHECKING:
    from scheduler.domain.limits import Kept
    from scheduler.domain.recipes import Component, Step, Take
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

RULE = "exposure"


def shortest_out(scenario: Scenario) -> Iterator[Finding]:
    """How long the food of every dish is out at least, however quickly it is made."""
    least = Least(scenario)
    limits = least.rules.limits
    limit, back, hot = limits.exposure, limits.rechill, limits.exposure_hot
    if limit is None:
        return
    for dish in scenario.dishes:
        if not any(controlled(c) for c in _taken(scenario, dish)):
            continue
        so_long = least.dish(dish)
        minutes, fallen = so_long.minutes, so_long.fallen
        said = f"out for {write_duration(minutes)} at least before it is plated"
        said += f", {OWN_READING}" if least.again(dish) else ""
        said += f"; limit {limit}"
        standing = against(minutes, limit.most)
        enforced = limit.hard and standing is Standing.BROKEN
        yield Finding(standing, RULE, dish.name or dish.id, said, limit.source, enforced)
        if hot is not None and fallen is not None and fallen > hot.most:
            said = f"out for {write_duration(fallen)} at least since it was hot; limit {hot}"
            broken = Standing.BROKEN
            yield Finding(broken, "exposure_hot", dish.name or dish.id, said, hot.source, hot.hard)
    for name, minutes in least.before.items():
        if minutes > limit.most and least.minutes(name) <= limit.most:
            said = f"out for {write_duration(minutes)} at least before it is cooked; limit {limit}"
            component = scenario.component[name]
            yield Finding(
                Standing.BROKEN, RULE, component.name or name, said, limit.source, limit.hard
            )
    for name, minutes in least.cold.items():
        if back is not None and minutes > back.most:
            component = scenario.component[name]
            said = (
                f"out for {write_duration(minutes)} at least before it goes into the cold; "
                f"{back.over} it may not"
            )
            said += f" ({OWN_READING})" if least.again(component) else ""
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
        standing = against(out.minutes, limit.most)
        said = f"{out}; limit {limit}"
        hard = limit.hard and standing is Standing.BROKEN
        yield Finding(standing, RULE, making.id, said, limit.source, hard)
        if limit.once and out.times > 1:
            said = f"waits out {out.times} times, with the cold or the heat between; only one of "
            said += "them may be on display, and nobody says which is"
            yield Finding(Standing.UNKNOWN, RULE, making.id, said, limit.source)
    yield from _since_hot(facts, exposure)
    for name, out in exposure.back.items():
        if back is not None and out.minutes > back.most:
            said = f"{out}, and goes back into the cold; {back.over} it may not"
            yield Finding(Standing.BROKEN, "rechill", name, said, back.source, back.hard)
    begun = {one.id for one in scenario.week.in_progress}
    for name, component in _there(scenario):
        if controlled(scenario.component[component]):
            since = "the step that runs began" if name in begun else "it was ready"
            said = f"how long it was out before {since} is not known, and counted as nothing"
            yield Finding(Standing.NOTE, RULE, name, said)


def _since_hot(facts: Facts, exposure: Exposure) -> Iterator[Finding]:
    """What was hot and is neither: by batch, and only the last that it goes into."""
    limit = exposure.rules.limits.exposure_hot
    if limit is None:
        return
    fallen = {
        making.id: out
        for making in facts.makings.values()
        if (out := exposure.most(making)).fallen and making.id in facts.placed
    }
    for name, out in fallen.items():
        into = (fallen[s.consumer] for s in facts.shares_from.get(name, ()) if s.consumer in fallen)
        minutes = out.fallen or 0
        if any((one.fallen or 0) >= minutes for one in into):
            continue
        standing, said = against(minutes, limit.most), f"{fell(out)}; limit {limit}"
        hard = limit.hard and standing is Standing.BROKEN
        yield Finding(standing, "exposure_hot", name, said, limit.source, hard)


@dataclass(frozen=True, slots=True)
class SoLong:
    """Out for so many minutes at least, and so many of them since it was hot (None: it was not)."""

    minutes: int = 0
    fallen: int | None = None

    def and_then(self, minutes: int) -> SoLong:
        """And so long more."""
        return SoLong(
            self.minutes + minutes, None if self.fallen is None else self.fallen + minutes
        )

    def kept(self, kept: Kept) -> SoLong:
        """Cold it is no longer hot food; hot both go on."""
        if kept == "out":
            return self
        return replace(self, fallen=(self.fallen or 0) if kept == "hot" else None)

    def stands(self, kept: Kept, least: int) -> SoLong:
        """And then it waits: in the cold it may get cold, in the heat for nothing it is not hot."""
        return self.kept(kept) if least or kept != "hot" else self


def _most(*some: SoLong) -> SoLong:
    """All of it together: the most of each."""
    fallen = max((one.fallen for one in some if one.fallen is not None), default=None)
    return SoLong(max((one.minutes for one in some), default=0), fallen)


def _least_of(some: Sequence[SoLong]) -> SoLong:
    """The quickest way: the least of each."""
    fallen = [one.fallen for one in some if one.fallen is not None]
    hot = min(fallen) if len(fallen) == len(some) else None
    return SoLong(min(one.minutes for one in some), hot)


class Least:
    """The shortest time out of recipes: quantities, and how people are busy, are left out.

    Attributes
    ----------
    cold : dict of str to int
        Of components that must go into the cold: how long they are out before that at least.
    before : dict of str to int
        Of components: how long at least before a hot core starts the sum again.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.rules = Exposing(scenario)
        self.cold: dict[str, int] = {}
        self.anew: set[str] = set()
        self.there = {component for _, component in _there(scenario)}
        self._ready: dict[str, SoLong] = {}
        self.before: dict[str, int] = {}

    def dish(self, dish: Dish) -> SoLong:
        """Until plating begins, by the quickest of its methods."""
        found = []
        for method in methods_of(dish):
            made = made_by(dish, method)
            end, worst, _ = self._steps(made, made.steps[self._first(made) :])
            found.append(_most(worst, end, *(self._taken(t) for t in made.takes)))
        return _least_of(found)

    def minutes(self, component: str) -> int:
        """When it is ready."""
        return self._ready[component].minutes

    def again(self, recipe: Component | Dish) -> bool:
        """Has a hot core started the sum again in it, or in anything that goes in?"""
        seen: set[str] = set()
        look: list[Component | Dish] = [recipe]
        while look:
            here = look.pop()
            if here.id in self.anew:
                return True
            ways = [made_by(here, m) for m in methods_of(here) if m != BOUGHT]
            takes = [t for way in ways for s in way.steps for t in s.takes]
            takes += here.takes if isinstance(here, Dish) else ()
            names = {t.component for t in takes} - seen
            seen |= {name for name in names if name is not None}
            look += [self.scenario.component[name] for name in names if name is not None]
        return False

    def _first(self, dish: Dish) -> int:
        """Its first step that takes what time out matters for; there may be none."""
        known = self.scenario.component
        taking = (
            n
            for n, step in enumerate(dish.steps)
            if any(t.component and controlled(known[t.component]) for t in step.takes)
        )
        return next(taking, len(dish.steps))

    def _component(self, component: Component) -> SoLong:
        """When it is ready, by the quickest of its methods; nothing where some is there already."""
        name = component.id
        if name not in self._ready:
            self._ready[name] = SoLong()  # It may need itself.
            if component.steps and name not in self.there and controlled(component):
                ways = [
                    self._steps(made_by(component, m), made_by(component, m).steps)
                    for m in methods_of(component)
                ]
                self._ready[name] = _least_of([end for end, _, _ in ways])
                if name in self.anew:
                    self.before[name] = min(worst.minutes for _, worst, _ in ways)
                cold = min(max(cold, default=0) for _, _, cold in ways)
                keep = component.keeps[0]
                if keep.not_before and self.rules.zone(keep.zone, component) in ("cold", "frozen"):
                    cold = max(cold, self._ready[name].minutes)
                self.cold[name] = cold
        return self._ready[name]

    def _taken(self, take: Take) -> SoLong:
        """Of what a step or a plate takes, when it is taken."""
        component = self.scenario.component.get(take.component or "")
        if component is None or not controlled(component):
            return SoLong()
        ready, keep = self._component(component), component.keeps[0]
        if self.rules.keeps_out(component):
            return ready.and_then(keep.not_before)
        return ready.stands(self.rules.zone(keep.zone, component), keep.not_before)

    def _steps(
        self, maker: Component | Dish, steps: tuple[Step, ...]
    ) -> tuple[SoLong, SoLong, list[int]]:
        """At the end; the most there was on the way; and before everything that is in the cold."""
        out, worst, cold = SoLong(), SoLong(), [0]
        for step in steps:
            out = _most(out, *(self._taken(t) for t in step.takes))
            worst, kept = _most(worst, out), self.rules.runs(maker, step)
            if self.rules.anew(maker, step):
                out = SoLong(fallen=0)
                self.anew.add(maker.id)
            elif kept == "out":
                out = out.and_then(self.rules.out_of(maker, step, _least(step)))
            elif kept in ("cold", "frozen"):
                cold.append(out.minutes)
            if not self.rules.anew(maker, step):
                out = out.kept(kept).kept(self.rules.stays(maker, step))
            wait = step.then
            if wait is not None:
                kept = self.rules.waits(maker, step)
                if kept == "out":
                    out = out.and_then(wait.not_before)
                elif kept in ("cold", "frozen") and wait.not_before:
                    cold.append(out.minutes)
                out = out.stands(kept, wait.not_before)
            worst = _most(worst, out)
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

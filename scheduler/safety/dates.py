"""Dates of use: what recipes can keep at their shortest, and what a plan has used of its days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.domain.dating import (
    Dating,
    allowed,
    dating,
    keeps_frozen,
    runs_frozen,
    waits_frozen,
)
from scheduler.domain.limits import Count
from scheduler.domain.methods import made_by, methods_of
from scheduler.domain.profiles import food_limits
from scheduler.domain.times import write_duration
from scheduler.plan.audit.dates import Dates, said
from scheduler.plan.audit.facts import Facts
from scheduler.plan.words import Names
from scheduler.safety.finding import Finding, Standing, against

if TYPE_CHECKING:
    from scheduler.domain.limits import FoodLimits
    from scheduler.domain.recipes import Component, Dish, Step
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

RULE = "date mark"
DAY = 24 * 60


@dataclass(frozen=True, slots=True)
class Way:
    """The shortest way from some moment to the last plate, minutes.

    Attributes
    ----------
    gone : int
        Days used by what comes after the first thawing from there on.
    open : int
        Until the next freezing, or until the plate.
    plate : bool
        Until the plate: the last day counts as well.
    frozen : bool
        It stands frozen at that moment.
    whole : int
        In all.
    sure : bool
        There is no other method on the way that could be taken instead.
    """

    gone: int = 0
    open: int = 0
    plate: bool = True
    frozen: bool = False
    whole: int = 0
    sure: bool = True

    def back(self, minutes: int, frozen: bool) -> Way:
        """From so much earlier on, frozen or not meanwhile."""
        whole = self.whole + minutes
        if not frozen:
            return replace(self, open=self.open + minutes, frozen=False, whole=whole)
        if self.frozen:
            return replace(self, whole=whole)
        gone = self.gone + max(0, self.open) // DAY + self.plate
        return Way(gone, 0, False, True, whole, self.sure)

    def days(self) -> int:
        """Days that it takes at the least, the first and the last counted."""
        first = max(0, self.open) // DAY
        return self.gone + (first + 1 if self.plate else max(1, first))


def date_marks(scenario: Scenario) -> Iterator[Finding]:
    """Recipes whose shortest way already passes the date, and holds longer than it allows."""
    limits = food_limits(scenario.kitchen)
    rule, limit = allowed(limits), limits.date_mark
    if rule is None or limit is None:
        return
    days, beyond = rule
    longest = _Ways(scenario, limits).longest()
    for component in scenario.components:
        if dating(scenario, component) is not Dating.OWN:
            continue
        name = component.name or component.id
        ways = [w for sure in (True, False) if (w := longest.get((component.id, sure)))]
        way = next((w for w in ways if w.days() > days and w.whole > beyond), None)
        if way is not None:
            told = (
                f"from its first step to the last plate {write_duration(way.whole)} at the "
                f"shortest, so {_days(way.days())} with the day made counted; {_days(days)} at most"
            )
            yield Finding(Standing.BROKEN, RULE, name, told, limit.source, limit.hard and way.sure)
        elif not keeps_frozen(scenario, component, limits):
            keeps = component.keeps[0].at_most
            if keeps > days * DAY:
                told = (
                    f"may be kept {write_duration(keeps)}, but is used on its "
                    f"{_nth(days)} day at the latest, the day made counted"
                )
                yield Finding(Standing.NOTE, RULE, name, told, limit.source, limit.hard)


def dates_in_plan(scenario: Scenario, plan: Plan) -> Iterator[Finding]:
    """How many days are gone of the oldest in every dish, and in what exempt food takes."""
    limits = food_limits(scenario.kitchen)
    rule, limit = allowed(limits), limits.date_mark
    if rule is None or limit is None:
        return
    names, facts = Names(scenario, plan), Facts(scenario, plan)
    for use in Dates(facts).uses():
        late = use.late(*rule)
        dish = use.where in facts.makings
        if not use.marks or not (dish or late):
            continue
        mark = late or use.marks[0]
        standing = Standing.BROKEN if late else _standing(limit, mark.used)
        where = names.place(use.where)
        told = (
            f"{names.batch(mark.origin)} ({mark.origin}) is on its {_nth(mark.used)} day: "
            f"{said(mark, rule[0])}"
        )
        yield Finding(standing, RULE, where, told, limit.source, limit.hard)


def _standing(limit: Count, used: int) -> Standing:
    # Kept so short that it needs no date, it may touch more days than one and be fine.
    return Standing.FINE if used > limit.value else against(used, limit.value)


def _days(count: int) -> str:
    return f"{count} days" if count > 1 else "1 day"


def _nth(count: int) -> str:
    ending = {1: "st", 2: "nd", 3: "rd"}.get(count % 10 if count % 100 // 10 != 1 else 0, "th")
    return f"{count}{ending}"


class _Ways:
    """From every component the shortest way to a plate, of several the one that takes longest."""

    def __init__(self, scenario: Scenario, limits: FoodLimits) -> None:
        self.scenario = scenario
        self.limits = limits
        self.found: dict[tuple[str, bool], Way] = {}
        self.gone: dict[str, list[Way]] = {}
        self.clocks = self._clocks()

    def longest(self) -> dict[tuple[str, bool], Way]:
        """For each component on a menu, from the start of its first step; sure ways apart."""
        for event in self.scenario.week.events:
            for course in event.menu:
                swaps = {s for d in course.diets for s in d.swap.items()}
                self._dish(self.scenario.dish[course.dish], swaps)
        return self.found

    def _clocks(self) -> int:
        """By how much a day of the week may be longer than 24 h, minutes."""
        clock = self.scenario.clock
        offsets = {clock.local(m).utcoffset() for m in range(-DAY, clock.horizon + 2 * DAY, DAY)}
        known = [int(o.total_seconds()) // 60 for o in offsets if o is not None]
        return max(known) - min(known)

    def _dish(self, dish: Dish, swaps: set[tuple[str, str]]) -> None:
        # A day that the clock makes longer holds more: taken off once, at the plate.
        way = Way(open=-self.clocks, sure=not dish.methods)
        takes = [(t.component, way) for t in dish.takes]
        for step in reversed(dish.steps):
            way = self._step(step, way)
            takes += [(t.component, way) for t in step.takes]
        for name, onward in takes:
            for one in [name, *(new for old, new in swaps if old == name)]:
                if one in self.scenario.component:
                    self._component(self.scenario.component[one], onward, ())

    def _component(self, component: Component, way: Way, above: tuple[str, ...]) -> None:
        """From its use back to its start, by each method; what takes the least counts."""
        if component.id in above or self._shorter(component, way):
            return
        exempt = dating(self.scenario, component) is Dating.NONE
        keep, methods = component.keeps[0], methods_of(component)
        way = way.back(keep.not_before, keeps_frozen(self.scenario, component, self.limits))
        best: Way | None = None
        for method in methods:
            start = way
            for step in reversed(made_by(component, method).steps):
                start = self._step(step, start)
                for take in step.takes if method is None else ():
                    if take.component in self.scenario.component:
                        # Exempt food uses it up then and there.
                        onward = Way(open=-self.clocks) if exempt else start
                        onward = replace(onward, sure=way.sure and len(methods) == 1)
                        inner = self.scenario.component[take.component]
                        self._component(inner, onward, (*above, component.id))
            if best is None or start.days() < best.days():
                best = start
        old = self.found.get((component.id, way.sure))
        if best is not None and not exempt and (old is None or best.days() > old.days()):
            self.found[component.id, way.sure] = best

    def _shorter(self, component: Component, way: Way) -> bool:
        """Has a way been gone already on which more is used up?"""
        known = self.gone.setdefault(component.id, [])
        if any(
            (w.plate, w.frozen, w.sure) == (way.plate, way.frozen, way.sure)
            and w.gone >= way.gone and w.open >= way.open and w.whole >= way.whole
            for w in known
        ):  # fmt: skip
            return True
        known.append(way)
        return False

    def _step(self, step: Step, way: Way) -> Way:
        """From the end of a step, its wait included, to its start."""
        if step.then is not None:
            frozen = waits_frozen(self.scenario, step.then, self.limits)
            way = way.back(step.then.not_before, frozen)
        lengths = step.time.at_least
        most = max((line.up_to or 1 for line in step.hands), default=1)
        lengths = lengths // most if most > 1 else lengths
        for visit in (step.load, step.unload):
            if visit is not None:
                shared = max((line.up_to or 1 for line in visit.hands), default=1)
                lengths += visit.time.at_least // shared
        return way.back(lengths, runs_frozen(self.scenario, step, self.limits))

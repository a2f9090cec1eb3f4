"""What a plan leaves short, and what may be asked for where it does."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from scheduler.domain import roster
from scheduler.domain.methods import variants
from scheduler.domain.reading import scenario_of
from scheduler.domain.recipes import ANYONE
from scheduler.domain.scenario import Scenario
from scheduler.plan.words import Names
from scheduler.reshuffle.standing import Standing

if TYPE_CHECKING:
    from datetime import date

    from scheduler.domain.kitchen import Person
    from scheduler.domain.recipes import Component, Dish, Step
    from scheduler.plan.model import Past, Plan

Kind = Literal["longer", "called in", "borrowed", "bought", "later"]
Document = dict[str, Any]

# Common practice, no source.
THERE = 60
"""Somebody who is called in, a machine or goods that are asked for are there so soon; minutes."""
FEW = 3
"""People, kinds or events that are tried one by one."""


@dataclass(frozen=True)
class Remedy:
    """Something that may be asked for.

    Attributes
    ----------
    kind : str
        Who may say yes follows from it.
    name : str
        What it is called where it was not looked at.
    group : str
        Of those of one group only what serves most is said.
    week : callable
        The week with it.
    said : callable
        What of it a plan for that week makes use of, in words; empty where of nothing.
    """

    kind: Kind
    name: str
    group: str
    week: Callable[[], Scenario]
    said: Callable[[Names], str]


class Short:
    """What a plan leaves short, and how the kitchen stands by then."""

    def __init__(self, scenario: Scenario, plan: Plan, past: Past) -> None:
        self.scenario, self.plan, self.past = scenario, plan, past
        self.names = Names(scenario, plan)
        self.away = {one.person for one in past.away}

    def standing(self, later: int = 0) -> Standing:
        """The plan now, or so many minutes later."""
        at = self.scenario.clock.local(self.past.now + later)
        return Standing(self.names, at.replace(tzinfo=None))

    @property
    def portions(self) -> int:
        """How many portions lack something."""
        return sum(one.portions for one in self.plan.unserved)

    @cached_property
    def recipes(self) -> list[Component | Dish]:
        """What lacks a place, and what the portions lack."""
        ids = {lack for one in self.plan.unserved for lack in one.lacks}
        missing = {one.batch for one in self.plan.missing}
        ids |= {b.component or b.dish or "" for b in self.plan.batches if b.id in missing}
        found: list[Component | Dish] = [c for c in self.scenario.components if c.id in ids]
        return [*found, *(d for d in self.scenario.dishes if d.id in ids)]

    def steps(self) -> Iterator[tuple[Component | Dish, Step]]:
        """Their steps, made in any way."""
        for recipe in self.recipes:
            for made in variants(recipe):
                yield from ((recipe, step) for step in made.steps)

    @cached_property
    def people(self) -> list[Person]:
        """Those of the sections that it is for, whoever is away left out."""
        sections = {step.section or recipe.section for recipe, step in self.steps()}
        sections |= {recipe.section for recipe in self.recipes}
        return [
            p for p in self.scenario.kitchen.people
            if p.id not in self.away and (ANYONE in sections or sections & set(p.sections))
        ]  # fmt: skip

    @cached_property
    def days(self) -> tuple[date, ...]:
        """From today to the last event that goes short."""
        clock, events = self.scenario.clock, {one.event for one in self.plan.unserved}
        last = max(clock.minute(self.scenario.event[e].first_plate) for e in events)
        return roster.days_between(self.day(self.past.now), self.day(last))

    def day(self, minute: int) -> date:
        """The day of a minute."""
        return self.scenario.clock.local(minute).date()

    def wall(self, minute: int) -> str:
        """A minute as a time of day that can be written down."""
        return f"{self.scenario.clock.local(minute):%H:%M}"

    def closing(self, begin: int, end: int) -> str:
        """The end of a stretch as it is written: midnight as 24:00."""
        last = self.wall(end)
        return "24:00" if last == "00:00" and self.day(end) != self.day(begin) else last


def week_with_help(document: Document) -> Scenario:
    """A changed week, checked.

    Raises
    ------
    BadInput
        Where it is no week that may be: too little rest, most often.
    """
    return scenario_of(document, name="the week with help")

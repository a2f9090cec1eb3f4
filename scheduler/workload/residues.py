"""What is left behind in machines that are cleaned between two contents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.methods import variants
from scheduler.domain.recipes import ANYONE, Need
from scheduler.domain.residue import Residue, left_behind
from scheduler.workload.primitives import Clean, Option
from scheduler.workload.sharing import as_written

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import Diet
    from scheduler.workload.builder import Builder
    from scheduler.workload.model import WorkBatch

Left = tuple[Residue, ...]
"""What is left behind by each of the rules that the kitchen's machines have."""


class Residues:
    """The states of kinds with a clean-down: all that any recipe leaves."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        rules = (k.clean_down for k in scenario.kitchen.equipment)
        self.rules = tuple(dict.fromkeys(r.between for r in rules if r is not None))
        self.states: tuple[Left, ...] = ()
        if self.rules:
            found = {self.left_by(recipe, diet) for recipe, diet in _makers(scenario)}
            self.states = tuple(sorted(found, key=lambda left: [sorted(r) for r in left]))
        self._state = {left: n for n, left in enumerate(self.states)}

    def left_by(self, recipe: Component | Dish, diet: Diet | None) -> Left:
        """By every rule."""
        return tuple(left_behind(self.scenario, rule, recipe, diet) for rule in self.rules)

    def clean(self, b: Builder, kind: Equipment) -> Clean | None:
        """Cleaning of a kind: after[s][t] iff s is not a subset of t, by the kind's rule."""
        rule = kind.clean_down
        if rule is None:
            return None
        settings = b.ovens.size(kind.id)
        left = [state[self.rules.index(rule.between)] for state in self.states]
        left = [residue for residue in left for _ in range(settings)]
        return Clean(
            b.up(rule.time),
            as_written(b, rule.hands, ANYONE, (Need(equipment=kind.id),)),
            tuple(tuple(not s <= t for t in left) for s in left),
            rule.when == "at once",
        )

    def stated(
        self, options: Sequence[Option], made: WorkBatch, b: Builder
    ) -> tuple[Option, ...]:
        """Options with the state that what is made leaves a machine in.

        Of what heats a state is both, a residue and a setting: residue × settings + setting.
        """
        state = self._state[self.left_by(b.maker(made), _diet(self.scenario, made))]

        def both(o: Option) -> Option:
            if b.resources[o.resource].clean is None:
                return o
            settings = b.ovens.size(b.holders[o.resource].kind)
            return Option(o.resource, state * settings + (o.state or 0), o.price)

        return tuple(both(o) for o in options)


def _makers(scenario: Scenario) -> Iterator[tuple[Component | Dish, Diet | None]]:
    """Every component, every dish, and every diet's plates of one."""
    for component in scenario.components:
        yield component, None
    for dish in scenario.dishes:
        yield from ((made, None) for made in variants(dish))
    for event in scenario.week.events:
        for course in event.menu:
            for diet in course.diets:
                yield from ((made, diet) for made in variants(scenario.dish[course.dish]))


def _diet(scenario: Scenario, made: WorkBatch) -> Diet | None:
    if made.diet is None or made.event is None or made.course is None:
        return None
    course = scenario.event[made.event].menu[made.course]
    return next((d for d in course.diets if d.id == made.diet), None)

"""What is left behind in machines that are cleaned between two contents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.recipes import ANYONE, Need
from scheduler.workload.primitives import Clean, Option
from scheduler.workload.sharing import as_written

if TYPE_CHECKING:
    from collections.abc import Sequence

    from scheduler.domain.kitchen import Equipment
    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario
    from scheduler.workload.builder import Builder

Residue = frozenset[str]


def left_by(maker: Component | Dish, scenario: Scenario) -> Residue:
    """What a recipe leaves behind; a dish what its components do."""
    if hasattr(maker, "residue"):
        return maker.residue
    found = (scenario.component[t.component] for t in maker.inputs if t.component is not None)
    return frozenset(word for component in found for word in component.residue)


class Residues:
    """The states of kinds with a clean-down: every residue that any recipe leaves."""

    def __init__(self, scenario: Scenario) -> None:
        self.states: tuple[Residue, ...] = ()
        if any(k.clean_down is not None for k in scenario.kitchen.equipment):
            makers: tuple[Component | Dish, ...] = (*scenario.components, *scenario.dishes)
            found = {left_by(m, scenario) for m in makers}
            self.states = tuple(sorted(found, key=sorted))
        self._state = {residue: n for n, residue in enumerate(self.states)}

    def clean(self, b: Builder, kind: Equipment) -> Clean | None:
        """Cleaning of a kind: after[s][t] iff s is not a subset of t."""
        rule = kind.clean_down
        if rule is None:
            return None
        return Clean(
            b.up(rule.time),
            as_written(b, rule.hands, ANYONE, (Need(equipment=kind.id),)),
            tuple(tuple(not s <= t for t in self.states) for s in self.states),
            rule.when == "at once",
        )

    def stated(
        self, options: Sequence[Option], maker: Component | Dish, b: Builder
    ) -> tuple[Option, ...]:
        """Options with the state that what is made leaves a machine in."""
        state = self._state.get(left_by(maker, b.scenario))
        return tuple(
            Option(o.resource, state) if b.resources[o.resource].clean is not None else o
            for o in options
        )

"""What food contains and may contain, through all that goes into it.

Cooking takes nothing away: heat and other lethal steps "generally do not destroy
allergenic proteins" (Codex CXC 80-2020, introduction). So what goes in once is in it for
good, whichever way it is made: its own steps and every other method count.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.allergens import Words, wider
from scheduler.domain.methods import variants

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Content:
    """What something contains, and what else it may contain."""

    contains: Words = frozenset()
    may: Words = frozenset()

    def __or__(self, other: Content) -> Content:
        return Content(self.contains | other.contains, self.may | other.may)

    def apart(self) -> Content:
        """What it contains for certain is no question any more."""
        return Content(
            self.contains, frozenset(w for w in self.may if not wider(w) & self.contains)
        )


def own(recipe: Component | Dish) -> Content:
    """What a recipe says itself."""
    return Content(frozenset(recipe.allergens), frozenset(recipe.may_contain))


def contents(components: Iterable[Component]) -> dict[str, Content]:
    """Of every component, by id.

    A by-product has what its giver says itself and what has gone in by the
    step that gives it. What is bought in instead is written on the component.
    """
    every = list(components)
    found = {c.id: own(c) for c in every}
    into: dict[str, set[str]] = {c.id: set() for c in every}
    for component in every:
        for made in variants(component):
            gone_in: set[str] = set()
            for step in made.steps:
                gone_in |= {t.component for t in step.takes if t.component is not None}
                for gives in step.gives:
                    if gives.component in into:
                        into[gives.component] |= gone_in
                        found[gives.component] |= own(component)
            into[component.id] |= gone_in
    changed = True
    while changed:
        changed = False
        for name, inputs in into.items():
            now = found[name]
            for one in inputs:
                now |= found.get(one, Content())
            changed |= now != found[name]
            found[name] = now
    return {name: content.apart() for name, content in found.items()}


def on_the_plate(scenario: Scenario, dish: Dish, swap: Mapping[str, str] | None = None) -> Content:
    """What a plate of a dish contains, made in whatever way; with a diet's swaps.

    What is written on the dish itself is on every plate of it, a diet's too.
    """
    found = own(dish)
    for name in parts(dish, swap):
        found |= scenario.contents.get(name, Content())
    return found.apart()


def parts(dish: Dish, swap: Mapping[str, str] | None = None) -> list[str]:
    """The components on a plate, each once."""
    takes = [t for made in variants(dish) for t in made.inputs]
    names = (t.component for t in takes if t.component is not None)
    return list(dict.fromkeys((swap or {}).get(name, name) for name in names))

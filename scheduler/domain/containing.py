"""What food contains and may contain, through all that goes into it.

Cooking takes nothing away: heat and other lethal steps "generally do not destroy
allergenic proteins" (Codex CXC 80-2020, introduction). So what goes in once is in it for
good, whichever way it is made: its own steps and every other method count.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scheduler.domain.allergens import Words, wider
from scheduler.domain.methods import variants
from scheduler.domain.recipes import Dish

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component
    from scheduler.domain.scenario import Scenario


_DISH = " (dish)"


@dataclass(frozen=True, slots=True)
class Content:
    """What something contains, and what else it may contain.

    Attributes
    ----------
    unwritten : frozenset of str
        Components and dishes in it of which nobody has written what they bring in. They count
        as free of nothing.
    """

    contains: Words = frozenset()
    may: Words = frozenset()
    unwritten: frozenset[str] = frozenset()

    def __or__(self, other: Content) -> Content:
        return Content(
            self.contains | other.contains,
            self.may | other.may,
            self.unwritten | other.unwritten,
        )

    def apart(self) -> Content:
        """What it contains for certain is no question any more."""
        may = frozenset(w for w in self.may if not wider(w) & self.contains)
        return Content(self.contains, may, self.unwritten)


def own(recipe: Component | Dish) -> Content:
    """What a recipe says itself; without `allergens` nobody knows."""
    unwritten: frozenset[str] = frozenset()
    if recipe.allergens is None:
        unwritten = frozenset({f"{recipe.id}{_DISH}" if isinstance(recipe, Dish) else recipe.id})
    return Content(frozenset(recipe.allergens or ()), frozenset(recipe.may_contain), unwritten)


def named(scenario: Scenario, unwritten: Iterable[str]) -> str:
    """For people, those of which nobody has written what they bring in."""
    known = scenario.component
    found = [
        "what is added at the pass" if one.endswith(_DISH) else known[one].name or one
        for one in sorted(unwritten)
    ]
    return " and ".join(dict.fromkeys(found))


def contents(components: Iterable[Component]) -> dict[str, Content]:
    """Of every component, by id.

    A by-product has what its giver says itself and what has gone in by the
    step that gives it, so it need write nothing. What is bought in instead is
    written on the component.
    """
    every = list(components)
    found = {c.id: own(c) for c in every}
    for name in _given_only(every):
        found[name] = replace(found[name], unwritten=frozenset())
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


def _given_only(components: list[Component]) -> Iterator[str]:
    """What nobody makes for itself, and some step gives."""
    ways = (m for c in components for m in variants(c))
    given = {g.component for made in ways for step in made.steps for g in step.gives}
    yield from (c.id for c in components if c.id in given and not c.steps and not c.bought_in)


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

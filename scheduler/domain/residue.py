"""What is left behind in a machine that is cleaned between two contents, by the kitchen's rule.

A clean-down is due between two uses iff what the first leaves is not all in
what the second leaves: then nothing builds up that the next must not contain.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from scheduler.domain.allergens import narrower, wider
from scheduler.domain.containing import on_the_plate, parts
from scheduler.domain.cooked import is_cooked
from scheduler.domain.profiles import food_classes, food_limits
from scheduler.domain.recipes import Component, Dish

if TYPE_CHECKING:
    from collections.abc import Iterable
    from fractions import Fraction

    from scheduler.domain.food_class import FoodClass
    from scheduler.domain.limits import FoodLimits
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import Diet

Residue = frozenset[str]
Between = Literal["contents", "allergens", "any change"]
"""What counts as left behind (`CleanDown.between`)."""
UNWRITTEN = "what nobody has written of "


def left_behind(
    scenario: Scenario, between: Between, recipe: Component | Dish, diet: Diet | None = None
) -> Residue:
    """What a recipe leaves behind; a dish, or a diet's plates of it, what its components do.

    - contents: what is written (`leaves`; left out: itself)
    - allergens: all that it contains, and raw food; not what it only may contain; where nobody
      has written what is in it, that too
    - any change: itself
    """
    if between == "any change":
        name = f"{recipe.id} (dish)" if isinstance(recipe, Dish) else recipe.id
        return frozenset({name if diet is None else f"{name}, {diet.id}"})
    if between == "contents":
        names = [recipe.id]
        if isinstance(recipe, Dish):
            names = [t.component for t in recipe.inputs if t.component is not None]
        return frozenset(word for n in names for word in scenario.component[n].residue)
    swap = diet.swap if diet is not None else None
    if isinstance(recipe, Dish):
        content = on_the_plate(scenario, recipe, swap)
        inside = [c for n in parts(recipe, swap) if not is_cooked(c := scenario.component[n])]
    else:
        content, inside = scenario.contents[recipe.id], [recipe]
    # Who leaves nuts may leave any of them.
    words = frozenset(n for word in content.contains for n in narrower(word))
    nobody_knows = frozenset(f"{UNWRITTEN}{one}" for one in content.unwritten)
    return words | nobody_knows | _raw(scenario, inside)


def told(residue: Iterable[str]) -> str:
    """In words, without what belongs to another of them."""
    words = set(residue)
    return ", ".join(sorted(w for w in words if not (wider(w) - {w}) & words))


def _raw(scenario: Scenario, components: Iterable[Component]) -> Residue:
    """Raw food: its class, and those that are cooked less hot, which it may follow.

    Raw food is cleaned away before food that is ready to eat, and before another kind of raw
    food unless that must get hotter (FDA Food Code 4-602.11(A) and (B)).
    """
    raw = [one for one in food_classes().values() if one.raw]
    here = {c.food_class for c in components}
    mine = [one for one in raw if one.id in here]
    if not mine:
        return frozenset()
    limits = food_limits(scenario.kitchen)
    hottest = {one.id: _core(one, limits) for one in raw}
    found = {one.id for one in mine}
    for one in mine:
        hot = hottest[one.id]
        found |= {i for i, core in hottest.items() if hot is not None and core and core < hot}
    return frozenset(found)


def _core(food: FoodClass, limits: FoodLimits) -> Fraction | None:
    """How hot it must get at the core, °C; None where nothing says so."""
    limit = limits.cook(food.cook)
    return None if limit is None else limit.value

"""Amounts: grams where pieces are meant, machines too small, loads that do not match."""

from __future__ import annotations

from scheduler.domain.base import Word
from scheduler.domain.draft import Draft
from scheduler.domain.methods import known, made_by
from scheduler.domain.problems import Problem
from scheduler.domain.quantity import BASE, Dimension, Quantity
from scheduler.domain.recipes import Component, Dish, Step, Take
from scheduler.domain.walks import (
    Recipe,
    in_measure,
    largest_fill,
    largest_load,
    measured,
    recipes,
    steps,
    takes,
    visits,
)
from scheduler.domain.week import InProgress, OnHand

_WORD = {Dimension.MASS: "a weight", Dimension.VOLUME: "a volume", Dimension.COUNT: "pieces"}


def amounts(draft: Draft) -> list[Problem]:
    """Every amount is in a measure that fits, and every batch into its machines."""
    found: list[Problem] = []
    for recipe in recipes(draft):
        if isinstance(recipe, Component):
            found += _component(draft, recipe)
        elif recipe.keeps is not None:
            found += _fits(draft, recipe.keeps, "per_shelf", recipe.keeps.per_shelf, recipe)
    for recipe, step in steps(draft):
        found += _step(draft, recipe, step)
        found += _machines(draft, recipe, step)
        found += _waves(draft, recipe, step)
    for _, _, take in takes(draft):
        found += _take(draft, take)
    for event in draft.week.events:
        for course in event.menu:
            for diet in course.diets:
                found += _swaps(draft, diet, course.dish, diet.swap)
    lots: tuple[OnHand | InProgress, ...] = (*draft.week.on_hand, *draft.week.in_progress)
    for lot in lots:
        if (component := draft.component.get(lot.component)) is not None:
            found += _fits(draft, lot, "quantity", lot.quantity, component)
    return found + _deliveries(draft)


def _fits(
    draft: Draft, owner: Word, field: str, quantity: Quantity | None, recipe: Recipe
) -> list[Problem]:
    to = measured(recipe)
    if quantity is None or in_measure(quantity, to, recipe) is not None:
        return []
    if isinstance(recipe, Dish):
        what = f"'{quantity}' is {_WORD[quantity.dimension]}; a dish is counted in portions"
        return [draft.problem(owner, field, what=what, maybe="a number of portions")]
    between = {quantity.dimension, to}
    lacks = " and ".join(
        word
        for word, dimension in (("piece_weight", Dimension.COUNT), ("density", Dimension.VOLUME))
        if dimension in between and getattr(recipe, word) is None
    )
    what = (
        f"'{quantity}' is {_WORD[quantity.dimension]}; {recipe.id} is made in {BASE[to]} "
        f"('{recipe.makes}') and states no {lacks}"
    )
    return [draft.problem(owner, field, what=what, maybe=f"an amount in {BASE[to]}")]


def _component(draft: Draft, component: Component) -> list[Problem]:
    found = []
    for field, a in (("piece_weight", "piece"), ("density", "litre")):
        given: Quantity | None = getattr(component, field)
        if given is None:
            continue
        if given.dimension is not Dimension.MASS or given.base <= 0:
            what = f"'{given}' is not what one {a} weighs"
            found.append(draft.problem(component, field, what=what, maybe=f"a weight, of one {a}"))
    if found:
        return found
    for field in ("least", "most"):
        found += _fits(draft, component.batch, field, getattr(component.batch, field), component)
    for keep in component.keeps:
        found += _fits(draft, keep, "per_shelf", keep.per_shelf, component)
    least, most = component.batch.least, component.batch.most
    if not found and least and most and least.dimension is not most.dimension:
        what = f"smallest '{least}' and largest '{most}' are in different measures"
        found.append(draft.problem(component.batch, "most", what=what))
    return found


def _step(draft: Draft, recipe: Recipe, step: Step) -> list[Problem]:
    found = _fits(draft, step.time, "per", step.time.per, recipe)
    for _, visit in visits(step):
        found += _fits(draft, visit.time, "per", visit.time.per, recipe)
        for need in visit.on:
            found += _fits(draft, need, "per", need.per, recipe)
    if step.then is not None:
        found += _fits(draft, step.then, "per_shelf", step.then.per_shelf, recipe)
    for need in step.on:
        found += _fits(draft, need, "per", need.per, recipe)
        fill = largest_fill(draft.units_of(need.equipment or ""))
        if fill is not None and in_measure(fill, measured(recipe), recipe) is None:
            found += _fits(draft, need, "equipment", fill, recipe)
    return found


def _machines(draft: Draft, recipe: Recipe, step: Step) -> list[Problem]:
    """`whole`: smallest batch <= what the machine takes. In loads: something says how much."""
    cap = largest_load(draft, recipe, step)
    if cap is None:
        # A machine that is unknown, or could not be read, has its own line already.
        if step.in_loads and not any(n.per or n.equipment for n in step.on):
            what = "in loads, and nothing it is on says how much one load is"
            hint = "`on:` with a `per`, or equipment with a `fill`"
            return [draft.problem(step, "in_loads", what=what, maybe=hint)]
        return []
    load, name = cap
    dimension = measured(recipe)
    if dimension is Dimension.COUNT and load < 1:
        return [draft.problem(step, what=f"not even one piece fits into {name}")]
    if step.in_loads or not isinstance(recipe, Component):
        return []
    found = []
    takes_at_once = Quantity.of(load, dimension)
    least = recipe.batch.least
    smallest = in_measure(least, dimension, recipe) if least is not None else None
    if least is not None and smallest is not None and smallest > load:
        what = f"the smallest batch, {least}, does not fit: {name} takes {takes_at_once} at most"
        found.append(draft.problem(step, "on", what=what, maybe="'in_loads: true'"))
    for going in draft.week.in_progress:
        if going.component != recipe.id or not known(recipe, going.method):
            continue
        if not any(s is step for s in made_by(draft.component[recipe.id], going.method).steps):
            continue
        size = in_measure(going.quantity, dimension, recipe)
        order = [s.id for s in recipe.steps]
        behind = going.step in order and order.index(going.step) <= order.index(step.id)
        if behind and size is not None and size > load:
            what = f"{going.quantity} do not fit: for {step.id}, {name} takes {takes_at_once}"
            found.append(draft.problem(going, "quantity", what=what))
    return found


def _waves(draft: Draft, recipe: Recipe, step: Step) -> list[Problem]:
    if not step.waves:
        return []
    place = [s.id for s in recipe.steps].index(step.id)
    if place + 1 == len(recipe.steps):
        what = "it passes its loads on, and there is no next step"
        return [draft.problem(step, "waves", what=what)]
    following = recipe.steps[place + 1]
    if not following.in_loads:
        what = f"it passes its loads on, and {following.id} is not in loads"
        hint = f"'in_loads: true' in {following.id}"
        return [draft.problem(step, "waves", what=what, maybe=hint)]
    mine, theirs = largest_load(draft, recipe, step), largest_load(draft, recipe, following)
    if mine is not None and theirs is not None and mine[0] != theirs[0]:
        sizes = [str(Quantity.of(s[0], measured(recipe))) for s in (mine, theirs)]
        what = f"load for load, but a load is {sizes[0]} here and {sizes[1]} in {following.id}"
        return [draft.problem(step, "waves", what=what)]
    return []


def _take(draft: Draft, take: Take) -> list[Problem]:
    made = draft.component.get(take.component or "")
    return [] if made is None else _fits(draft, take, "amount", take.amount, made)


def _swaps(draft: Draft, diet: Word, dish: str, swap: dict[str, str]) -> list[Problem]:
    plate = draft.dish.get(dish)
    if plate is None:
        return []
    found = []
    inside = {t.component for t in plate.inputs}
    for old, new in swap.items():
        if old not in inside:
            there = ", ".join(sorted(c for c in inside if c))
            what = f"there is no '{old}' in {dish}; there are: {there}"
            found.append(draft.key_problem(diet, "swap", old, what))
        if old == new:
            found.append(draft.problem(diet, "swap", old, what=f"'{new}' instead of itself"))
        made = draft.component.get(new)
        for take in plate.inputs:
            if take.component == old and made is not None:
                found += _fits(draft, diet, "swap", take.amount, made)
    return found


def _deliveries(draft: Draft) -> list[Problem]:
    """An ingredient that is delivered is taken, and counted in one measure."""
    taken: dict[str, set[Dimension]] = {}
    for _, _, take in takes(draft):
        if take.ingredient is not None:
            taken.setdefault(take.ingredient, set()).add(take.amount.dimension)
    found = []
    seen: set[str] = set()
    for delivery in draft.week.deliveries:
        name = delivery.ingredient
        if name not in taken and draft.whole >= {"components", "dishes"}:
            found.append(
                draft.unknown(delivery, "ingredient", kind="ingredient", word=name, known=taken)
            )
        for field in ("quantity", "in_house"):
            given: Quantity | None = getattr(delivery, field)
            if given is None:
                continue
            if given.base < 0 or (given.base == 0 and field == "quantity"):
                found.append(draft.problem(delivery, field, what=f"'{given}' is nothing"))
            elif name in taken and taken[name] != {given.dimension}:
                asked = " and ".join(sorted(_WORD[d] for d in taken[name]))
                what = f"'{given}' is {_WORD[given.dimension]}; recipes take {name} as {asked}"
                found.append(draft.problem(delivery, field, what=what))
        if delivery.in_house is not None and name in seen:
            what = f"what is in house of {name} stands with its first delivery"
            found.append(draft.problem(delivery, "in_house", what=what))
        seen.add(name)
    return found

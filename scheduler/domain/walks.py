"""Ways through a draft that several checks share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from scheduler.domain.base import Word
from scheduler.domain.draft import Draft
from scheduler.domain.kitchen import CleanDown, Equipment, Unit, Washing
from scheduler.domain.methods import variants
from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import (
    ANYONE,
    Component,
    Dish,
    Hands,
    Need,
    Plating,
    Step,
    Take,
    Visit,
)

Recipe = Component | Dish


def recipes(draft: Draft) -> Iterator[Recipe]:
    """Every component and every dish."""
    yield from draft.components
    yield from draft.dishes


def steps(draft: Draft) -> Iterator[tuple[Recipe, Step]]:
    """Every step with the recipe it belongs to, made as the step's method has it."""
    for recipe in recipes(draft):
        for made in variants(recipe):
            for step in made.steps:
                yield made, step


def visits(step: Step) -> Iterator[tuple[str, Visit]]:
    """Every visit of a step, each with the field it stands in."""
    if step.load is not None:
        yield "load", step.load
    for tend in step.tend:
        yield "tend", tend
    for add in step.add:
        yield "add", add
    if step.unload is not None:
        yield "unload", step.unload


def takes(draft: Draft) -> Iterator[tuple[Recipe, Step | None, Take]]:
    """Every input with its recipe, and its step where it has one."""
    for recipe, step in steps(draft):
        for take in step.takes:
            yield recipe, step, take
    for dish in draft.dishes:
        for take in dish.takes:
            yield dish, None, take


@dataclass(frozen=True, slots=True)
class Crew:
    """Hands lines that work at the same time.

    Attributes
    ----------
    holder : Word
        What they stand in: a step, a visit, a dish's plating, a clean-down or a washing.
    lines : tuple of Hands
    needs : tuple of Need
        Equipment that they touch.
    section : str
        Section where a line names none.
    recipe : str
        Component or dish that it is for, if any.
    """

    holder: Step | Visit | Plating | CleanDown | Washing
    lines: tuple[Hands, ...]
    needs: tuple[Need, ...]
    section: str
    recipe: str = ""


def crews(draft: Draft) -> Iterator[Crew]:
    """Everything that takes hands, but for standing duties."""
    for recipe, step in steps(draft):
        section = step.section or recipe.section
        if step.hands:
            yield Crew(step, step.hands, step.on, section, recipe.id)
        for _, visit in visits(step):
            yield Crew(visit, visit.hands, step.on + visit.on, section, recipe.id)
    for dish in draft.dishes:
        yield Crew(dish.plating, dish.plating.hands, dish.plating.on, dish.section, dish.id)
    for kind in draft.kitchen.equipment:
        if kind.clean_down is not None:
            touched = (Need(equipment=kind.id),)
            yield Crew(kind.clean_down, kind.clean_down.hands, touched, ANYONE)
        if kind.washed is not None:
            yield Crew(kind.washed, kind.washed.hands, (), ANYONE)


def needs(draft: Draft) -> Iterator[tuple[Recipe, Step | Visit | Plating, Need]]:
    """Every need of a step, a visit or a plating."""
    for recipe, step in steps(draft):
        for need in step.on:
            yield recipe, step, need
        for _, visit in visits(step):
            for need in visit.on:
                yield recipe, visit, need
    for dish in draft.dishes:
        for need in dish.plating.on:
            yield dish, dish.plating, need


def measured(recipe: Recipe) -> Dimension:
    """What a batch of it is measured in; a dish in portions."""
    return recipe.makes.dimension if isinstance(recipe, Component) else Dimension.COUNT


def in_measure(quantity: Quantity, to: Dimension, recipe: Word) -> Fraction | None:
    """A quantity in base units of another dimension; None if the recipe states no way.

    Mass to pieces by `piece_weight` (g a piece), mass to volume by `density`
    (g a litre); volume to pieces by both.
    """
    if quantity.dimension is to:
        return quantity.base
    if not isinstance(recipe, Component):
        return None
    grams: dict[Dimension, Fraction | None] = {
        Dimension.MASS: Fraction(1),
        Dimension.COUNT: recipe.piece_weight.base if recipe.piece_weight else None,
        Dimension.VOLUME: recipe.density.base / 1000 if recipe.density else None,
    }
    of, into = grams[quantity.dimension], grams[to]
    return quantity.base * of / into if of and into else None


def counted(draft: Draft, kind: Equipment) -> bool:
    """True where nothing tells units apart: one number of places, not single machines."""
    units = kind.each
    if kind.heat is not None:
        return False
    if len(units) > 1 and (units[0].holds or kind.clean_down is not None):
        return False
    alike = all((u.capacity or 1) == 1 and u.fill == units[0].fill for u in units)
    return len(units) == 1 or (alike and not named_units(draft) & {u.id for u in units})


def named_units(draft: Draft) -> frozenset[str]:
    """Units that something names."""
    if draft.named is None:
        found = {need.equipment for _, _, need in needs(draft) if need.equipment}
        found |= {t.equipment for duty in draft.kitchen.duties for t in duty.equipment}
        found |= {name for going in draft.week.in_progress for name in going.on}
        found |= {wish.unit for wish in draft.week.wishes if wish.unit}
        draft.named = frozenset(found - set(draft.kind))
    return draft.named


def places(draft: Draft, name: str, tray: str | None = None) -> int:
    """The most places one need can take of a kind, or of one unit; trays of one family.

    A need is spread over several units where each is one place (tubs,
    burners); otherwise it is on one machine.
    """
    units = draft.units_of(name)
    if any(unit.holds for _, unit in units):
        return max(unit.holds.get(tray or "", 1) for _, unit in units)
    sizes = [unit.capacity or 1 for _, unit in units]
    kind = draft.kind.get(name)
    if kind is not None and kind.heat is None and set(sizes) == {1}:
        return len(sizes) if largest_fill(draft.units_of(name)) is None else 1
    return max(sizes, default=0)


def largest_fill(units: list[tuple[Equipment, Unit]]) -> Quantity | None:
    """The largest load that any of some units takes at once; None if they have no fill."""
    fills = [u.fill for _, u in units if u.fill is not None]
    return max(fills, key=lambda f: f.base) if fills else None


def largest_load(draft: Draft, recipe: Recipe, step: Step) -> tuple[Fraction, str] | None:
    """What its machines take at once, in base units of the recipe, and which machine says so.

    min over the step's needs of: `fill` of the largest unit, or places × `per`.
    None where nothing limits it.
    """
    caps: list[tuple[Fraction, str]] = []
    for need in step.on:
        name = need.equipment or ""
        units, most = draft.units_of(name), places(draft, name, need.tray)
        fill = largest_fill(units)
        limit: Fraction | None = None
        if fill is not None:
            limit = in_measure(fill, measured(recipe), recipe)
        elif need.per is not None and most:
            one = in_measure(need.per, measured(recipe), recipe)
            limit = one * most if one is not None else None
        if limit is not None:
            caps.append((limit, name))
    return min(caps, default=None)

"""The same id twice, names that sheets could not tell apart, and words that are taken."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from scheduler.domain.draft import Draft
from scheduler.domain.kitchen import Duty, Equipment, Person, Section, Store
from scheduler.domain.methods import BOUGHT, variants
from scheduler.domain.problems import Problem
from scheduler.domain.recipes import ANYONE, Component, Dish
from scheduler.domain.walks import recipes, steps, takes
from scheduler.domain.week import Event

if TYPE_CHECKING:
    from scheduler.domain.base import Word

PLATING = "plating"
Named = Section | Person | Equipment | Store | Duty | Component | Dish | Event


def ids(draft: Draft) -> list[Problem]:
    """Every id is unique among those it could be mistaken for."""
    found: list[Problem] = []
    kitchen, week = draft.kitchen, draft.week

    def once(*groups: tuple[str, Iterable[Word]], field: str = "id") -> None:
        seen: dict[str, str] = {}
        for name, parts in groups:
            for part in parts:
                word = str(getattr(part, field))
                if word in seen:
                    what = f"the same id twice: '{word}' is {seen[word]} already"
                    found.append(draft.problem(part, field, what=what))
                seen.setdefault(word, name)

    units = [u for k in kitchen.equipment if isinstance(k.units, tuple) for u in k.units]
    once(("a section", kitchen.sections))
    once(("a person", kitchen.people))
    once(("equipment", kitchen.equipment), ("a unit", units), ("a store", kitchen.stores))
    once(("a duty", kitchen.duties))
    once(("a day part", kitchen.day_parts))
    once(("a component", draft.components), ("a dish", draft.dishes))
    once(("an event", week.events))
    once(("on hand", week.on_hand), ("in progress", week.in_progress))
    once(("a delivery", week.deliveries))
    for recipe in recipes(draft):
        once(("a method", recipe.methods))
        for made in variants(recipe):
            once(("a step", made.steps))
    for event in week.events:
        once(("on the menu", event.menu), field="dish")
        for course in event.menu:
            once(("a diet", course.diets))
    return found + _numbered(draft) + _taken(draft)


def _numbered(draft: Draft) -> list[Problem]:
    """A unit that Backtime numbers itself (oven-1) must not be another thing's id."""
    kitchen = draft.kitchen
    written = {k.id for k in kitchen.equipment} | {s.id for s in kitchen.stores}
    written |= {u.id for k in kitchen.equipment if isinstance(k.units, tuple) for u in k.units}
    found = []
    for kind in kitchen.equipment:
        if isinstance(kind.units, int) and kind.units > 1:
            for unit in kind.each:
                if unit.id in written:
                    what = f"one of its units would be '{unit.id}', which is another id already"
                    found.append(draft.problem(kind, "id", what=what))
                    break
    return found


def _taken(draft: Draft) -> list[Problem]:
    found = []
    for section in draft.kitchen.sections:
        if section.id == ANYONE:
            what = f"'{ANYONE}' means anybody trained on duty; a section has another id"
            found.append(draft.problem(section, "id", what=what))
    for recipe in recipes(draft):
        for method in recipe.methods:
            if method.id == BOUGHT:
                what = f"'{BOUGHT}' is what buying it is called; a method has another id"
                found.append(draft.problem(method, "id", what=what))
    for dish, step in steps(draft):
        if isinstance(dish, Dish) and step.id == PLATING:
            what = f"'{PLATING}' is a dish's last step, and stands in `plating`"
            found.append(draft.problem(step, "id", what=what))
    for event in draft.week.events:
        for course in event.menu:
            for diet in course.diets:
                if re.fullmatch(r"w[0-9]+", diet.id):
                    what = f"'{diet.id}' is what a wave is called; a diet has another id"
                    found.append(draft.problem(diet, "id", what=what))
    made = draft.written("components")
    for _, _, take in takes(draft):
        if take.ingredient is not None and take.ingredient in made.words:
            what = f"'{take.ingredient}' is a component, not an ingredient"
            hint = f"'component: {take.ingredient}'"
            found.append(draft.problem(take, "ingredient", what=what, maybe=hint))
    return found


def names(draft: Draft) -> list[Problem]:
    """No two things of a kind have one name (letters composed or not, large or small)."""
    found = []
    kitchen = draft.kitchen
    named: tuple[tuple[Named, ...], ...] = (
        kitchen.sections,
        kitchen.people,
        kitchen.equipment,
        kitchen.stores,
        kitchen.duties,
        (*draft.components, *draft.dishes),
        draft.week.events,
    )
    for parts in named:
        seen: dict[str, str] = {}
        for part in parts:
            name = part.name.casefold()
            if name and name in seen and seen[name] != part.id:
                what = f"the name '{part.name}' is also that of {seen[name]}; sheets show names"
                found.append(draft.problem(part, "name", what=what))
            seen.setdefault(name, part.id)
    return found

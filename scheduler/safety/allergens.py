"""Allergens: what diets must not have, words that are on no list, and cleaning between them.

Told of every week, with or without a rule profile: what a guest must not have
is no matter of a list. Lists only say what must be named.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.allergens import (
    AllergenList,
    clash,
    in_words,
    list_of,
    listed,
    wider,
    words_of,
)
from scheduler.domain.containing import Content, named, on_the_plate, own, parts
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component, Dish
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.week import Diet, Event

DIET, WORD = "diet", "allergens"
_WRITE = "(`allergens`; `[]` for none)"


def diets(scenario: Scenario) -> Iterator[Finding]:
    """A diet's plates contain nothing of what its guests must not have; a trace is near it."""
    for event, dish, diet in _diets(scenario):
        where = f"{event.name or event.id}, {dish.name or dish.id}, {diet.id}"
        guests = f"{diet.count} {'guest' if diet.count == 1 else 'guests'}"
        if not diet.free_of:
            said = f"{guests}: it does not say what its plates must be `free_of`"
            yield Finding(Standing.NOTE, DIET, where, said)
            continue
        content = on_the_plate(scenario, dish, diet.swap)
        fine = True
        for word in diet.free_of:
            for found in clash(content.contains, word):
                fine = False
                by = _brought(scenario, dish, diet, found)
                said = f"{guests} must not have {word}, and {by} contains {found}"
                yield Finding(Standing.BROKEN, DIET, where, said, _source(scenario, word), True)
            for found in clash(content.may, word):
                fine = False
                by = _brought(scenario, dish, diet, found)
                said = f"{guests} must not have {word}, and {by} may contain {found}"
                yield Finding(Standing.NEAR, DIET, where, said, _source(scenario, word))
            if not listed(word):
                said = f"{guests} without {word}: no list has it; ask for every recipe"
                yield Finding(Standing.NOTE, DIET, where, said)
        if content.unwritten:
            fine = False
            words = " or ".join(diet.free_of)
            said = f"{guests} must not have {words}, and nobody has written what is in "
            said += f"{named(scenario, content.unwritten)} {_WRITE}"
            yield Finding(Standing.UNKNOWN, DIET, where, said)
        if fine:
            words = in_words(diet.free_of, list_of(scenario.kitchen))
            yield Finding(Standing.FINE, DIET, where, f"{guests}: free of {words}, as written")


def without_plates(scenario: Scenario) -> Iterator[Finding]:
    """Dishes that guests of a diet meet at their event, and that have no plates for them."""
    for event in scenario.week.events:
        needs: dict[str, tuple[int, set[str]]] = {}
        for course in event.menu:
            for diet in course.diets:
                count, words = needs.get(diet.id, (0, set()))
                needs[diet.id] = max(count, diet.count), words | {*diet.free_of}
        for course in event.menu:
            dish = scenario.dish[course.dish]
            content = on_the_plate(scenario, dish)
            there = {d.id: d.count for d in course.diets}
            where = f"{event.name or event.id}, {dish.name or dish.id}"
            for name, (count, words) in needs.items():
                short = count - there.get(name, 0)
                for standing, found in _met(scenario, content, words) if short > 0 else ():
                    said = f"{found}; of {count} {name} guests {short} have no plates of their own"
                    yield Finding(standing, DIET, where, said)


def _met(scenario: Scenario, content: Content, words: set[str]) -> Iterator[tuple[Standing, str]]:
    """What of a dish somebody must not have, a step milder than on plates of their own.

    Who serves it may offer another dish, so nothing is broken by it.
    """
    for standing, said, inside in (
        (Standing.NEAR, "contains", content.contains),
        (Standing.NOTE, "may contain", content.may),
    ):
        found = {f for w in words for f in clash(inside, w)}
        if found:
            yield standing, f"{said} {', '.join(sorted(found))}"
    if words and content.unwritten:
        lacks = named(scenario, content.unwritten)
        yield Standing.UNKNOWN, f"nobody has written what is in {lacks} {_WRITE}"


def unwritten(scenario: Scenario) -> Iterator[Finding]:
    """Recipes that say no `allergens`, not even that there are none."""
    if list_of(scenario.kitchen) is None and not any(d.free_of for _, _, d in _diets(scenario)):
        return
    lacking: list[Component | Dish] = [
        c for c in scenario.components if c.id in scenario.contents[c.id].unwritten
    ]
    lacking += [d for d in scenario.dishes if d.allergens is None]
    for recipe in lacking:
        said = f"nobody has written what it brings in {_WRITE}; it counts as free of nothing"
        yield Finding(Standing.UNKNOWN, WORD, recipe.name or recipe.id, said)


def words(scenario: Scenario) -> Iterator[Finding]:
    """Words that the profile's list does not have, or for which it asks more."""
    by, used = list_of(scenario.kitchen), _used(scenario)
    for word in sorted(used):
        who = ", ".join(used[word][:3]) + (" …" if len(used[word]) > 3 else "")
        if not listed(word):
            said = f"on no list; carried through to the plates ({who})"
            yield Finding(Standing.NOTE, WORD, word, said)
        elif by is not None and word in by.ask:
            yield Finding(Standing.NOTE, WORD, word, f"{by.ask[word]} ({who})", by.source)
        elif by is not None and not wider(word) & {item.id for item in by.items}:
            said = f"not among {by.name}; carried and kept apart all the same ({who})"
            yield Finding(Standing.NOTE, WORD, word, said, by.source)
    if by is not None:
        for item in by.items:
            here = [w for w in used if item.id in wider(w)]
            if here and item.least:
                yield Finding(Standing.NOTE, WORD, item.id, f"named from {item.least}", by.source)


def _diets(scenario: Scenario) -> Iterator[tuple[Event, Dish, Diet]]:
    for event in scenario.week.events:
        for course in event.menu:
            for diet in course.diets:
                yield event, scenario.dish[course.dish], diet


def _brought(scenario: Scenario, dish: Dish, diet: Diet, word: str) -> str:
    """Which components bring an allergen onto the plate; else the dish itself."""
    found = []
    for name in parts(dish, diet.swap):
        content = scenario.contents.get(name, Content())
        if word in content.contains | content.may:
            component = scenario.component[name]
            found.append(component.name or component.id)
    if word in own(dish).contains | own(dish).may:
        found.append("what is added at the pass")
    return " and ".join(found)


def _used(scenario: Scenario) -> dict[str, list[str]]:
    """Every allergen that a recipe says, and which recipes."""
    used: dict[str, list[str]] = {}
    recipes: tuple[Component | Dish, ...] = (*scenario.components, *scenario.dishes)
    for recipe in recipes:
        for word in sorted(own(recipe).contains | own(recipe).may):
            used.setdefault(word, []).append(recipe.name or recipe.id)
    return used


def _source(scenario: Scenario, word: str) -> str:
    """Where an allergen is listed; nowhere for most of what a guest may not stand."""
    by: AllergenList | None = list_of(scenario.kitchen)
    return by.source if by is not None and word in words_of(by) else ""

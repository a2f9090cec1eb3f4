"""Words of food safety that name something in the shipped data, and figures nobody can mean."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.plausible import doubted, doubted_store
from scheduler.domain.problems import Problem, nearest
from scheduler.domain.profiles import food_classes


def food(draft: Draft) -> list[Problem]:
    """A class of food that is nearly one of those there are was meant to be one.

    Any other word is kept: a kitchen's own name for a food that no rule is known
    for, and `backtime check` says so.
    """
    if not any(c.food_class for c in draft.components):
        return []
    known = food_classes()
    found = []
    for component in draft.components:
        word = component.food_class
        if word is None or word in known:
            continue
        meant = nearest(word, known)
        if meant:
            what = f"unknown class of food '{word}'"
            found.append(draft.problem(component, "food_class", what=what, maybe=f"'{meant}'"))
    return found


def figures(draft: Draft) -> list[Problem]:
    """Limits of the kitchen's own and temperatures of its stores can be meant."""
    kitchen = draft.kitchen
    found = [
        draft.problem(kitchen, "own_limits", *doubt.inside, what=doubt.what, maybe=doubt.maybe)
        for doubt in doubted(kitchen.own_limits)
    ]
    return found + [
        draft.problem(store, *doubt.inside, what=doubt.what, maybe=doubt.maybe)
        for store in kitchen.stores
        for doubt in doubted_store(store)
    ]

"""Words of food safety that name something in the shipped data."""

from __future__ import annotations

from scheduler.domain.draft import Draft
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

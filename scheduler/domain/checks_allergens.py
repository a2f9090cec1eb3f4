"""Allergens: a slip of the pen is no allergen of its own."""

from __future__ import annotations

from scheduler.domain.allergens import lists, probably
from scheduler.domain.base import Word
from scheduler.domain.draft import Draft
from scheduler.domain.problems import Problem


def allergens(draft: Draft) -> list[Problem]:
    """Words that somebody meant otherwise; what is on no list and near none is let be."""
    found = []
    for recipe in (*draft.as_written[0], *draft.as_written[1]):
        for name in ("allergens", "may_contain"):
            for i, word in enumerate(getattr(recipe, name) or ()):
                found += _word(draft, recipe, name, i, word)
    for event in draft.as_written[2].events:
        for course in event.menu:
            for diet in course.diets:
                for i, word in enumerate(diet.free_of):
                    found += _word(draft, diet, "free_of", i, word)
    rule = draft.kitchen.own_limits.allergens
    if rule is not None and rule.items not in lists():
        what = f"there is no list of allergens '{rule.items}', only {' and '.join(lists())}"
        found.append(draft.problem(rule, "items", what=what))
    return found


def _word(draft: Draft, part: Word, name: str, i: int, word: str) -> list[Problem]:
    meant = probably(word)
    if not meant:
        return []
    maybe = " or ".join(f"'{one}'" for one in meant)
    return [draft.problem(part, name, i, what=f"unknown allergen '{word}'", maybe=maybe)]

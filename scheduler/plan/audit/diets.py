"""Diets: what is on their plates, followed through the plan's shares."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.allergens import clash

if TYPE_CHECKING:
    from scheduler.plan.audit.facts import Facts

Found = tuple[str, str]
"""An allergen, and the component or dish that brings it in."""


def check(facts: Facts) -> None:
    """Rule `diet`: a diet's plates contain nothing that its guests must not have.

    Batch by batch as each is made; what they only may contain is told by the check of food.
    """
    for making in facts.makings.values():
        if making.diet is None:
            continue
        inside = dict.fromkeys(_inside(facts, making.id, set()))
        for word in making.diet.free_of:
            for allergen, by in inside:
                if clash([allergen], word):
                    facts.broken(
                        "diet",
                        making.id,
                        f"{making.diet.count} guests must not have {word}, "
                        f"and {by} contains {allergen}",
                    )


def _inside(facts: Facts, batch: str, seen: set[str]) -> Iterator[Found]:
    """Everything that has gone into a batch, and through it into what takes from it."""
    making = facts.makings.get(batch)
    if making is None or batch in seen:
        return
    seen.add(batch)
    recipe = making.component or making.dish
    if recipe is not None:
        yield from ((word, recipe.id) for word in recipe.allergens or ())
    if making.begun is not None and making.component is not None:
        # What has gone in before the week is not in the plan.
        yield from _written(facts, making.component.id)
    for share in facts.shares_to[batch]:
        lot = facts.lots.get(share.source)
        if share.by_product is not None:
            yield from _written(facts, share.by_product)
        elif lot is not None:
            yield from _written(facts, lot.component)
        else:
            yield from _inside(facts, share.source, seen)


def _written(facts: Facts, component: str) -> Iterator[Found]:
    """All that a component contains in whatever way it is made."""
    content = facts.scenario.contents.get(component)
    if content is not None:
        yield from ((word, component) for word in sorted(content.contains))

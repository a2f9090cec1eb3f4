"""Ways of getting one thing: its own steps, another method, or bought in.

A component (or a dish) made in another way is the same component with other
steps; bought in, its one step is the delivery. Everything else that reads
recipes need not know that there was a choice.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar, cast

from scheduler.domain.buying import BoughtIn
from scheduler.domain.quantity import Percent
from scheduler.domain.recipes import BatchSize, Component, Decides, Dish, Keep, Need, Step, Time

BOUGHT = "bought-in"
"""What being bought in is called where a method is named; no method may be called so."""
ARRIVES = "arrives"
"""The one step of what is bought in."""

Made = TypeVar("Made", bound=Component | Dish)


def methods_of(recipe: Component | Dish) -> tuple[str | None, ...]:
    """Every way of getting it: None for its own steps, methods by id, `BOUGHT`."""
    bought = isinstance(recipe, Component) and recipe.bought_in is not None
    return (None, *(m.id for m in recipe.methods), *((BOUGHT,) if bought else ()))


def known(recipe: Component | Dish, method: str | None) -> bool:
    """Is there such a way of getting it?"""
    return method is None or method in methods_of(recipe)


def made_by(recipe: Made, method: str | None) -> Made:
    """The recipe with the steps of one way of getting it."""
    if method is None:
        return recipe
    if method == BOUGHT and isinstance(recipe, Component) and recipe.bought_in is not None:
        change = _bought(recipe, recipe.bought_in)
    else:
        change = {"steps": next(m.steps for m in recipe.methods if m.id == method)}
    return cast("Made", recipe.model_copy(update=change))


def variants(recipe: Made) -> Iterator[Made]:
    """The recipe in every way it may be made here."""
    yield recipe
    for method in recipe.methods:
        yield made_by(recipe, method.id)


def name_of(recipe: Component | Dish, method: str) -> str:
    """What a method is called."""
    return next((m.name or m.id for m in recipe.methods if m.id == method), "bought in")


def bought_keeps(component: Component) -> tuple[Keep, ...]:
    """How it keeps once it has been delivered: ready for use, perhaps with a limit of its own."""
    own = component.bought_in.at_most if component.bought_in is not None else None
    kept = []
    for keep in component.keeps:
        most = own or keep.at_most
        until = min(most, keep.best()[1])
        change = {"not_before": 0, "best_from": 0, "best_until": until, "at_most": most}
        kept.append(keep.model_copy(update=change))
    return tuple(kept)


def _bought(component: Component, bought: BoughtIn) -> dict[str, object]:
    """It arrives within the hours of delivery, on the shelves it will stand on."""
    keeps = bought_keeps(component)
    zone, per = keeps[0].zone, keeps[0].per_shelf
    time = Time.model_construct(
        at_least=0, at_most=bought.hours.end - bought.hours.start, decides=Decides.IT
    )
    arrives = Step.model_construct(
        id=ARRIVES, name="Delivered", time=time,
        on=() if zone is None else (Need(zone=zone, per=per),),
    )
    return {"steps": (arrives,), "keeps": keeps, "batch": BatchSize(), "loss": _NOTHING}


_NOTHING = Percent.parse("0 %")

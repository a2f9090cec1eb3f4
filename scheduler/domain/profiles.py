"""Reads the shipped rule profiles and classes of food, and joins in what a kitchen says itself."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from scheduler.domain.food_class import FoodClass
from scheduler.domain.jurisdiction import Profile, Work
from scheduler.domain.limits import FoodLimits, Source
from scheduler.domain.loosening import holding
from scheduler.domain.shipped import shipped

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Kitchen
    from scheduler.domain.recipes import Component

NAMES = ("us", "anz", "uk", "eu", "house")
"""Shipped profiles; `house`: no law's, only what the kitchen says itself."""


NO_LIMITS = FoodLimits()


@lru_cache
def profile(name: str) -> Profile:
    """A shipped profile as it is published."""
    return Profile.model_validate(shipped(f"profiles/{name}"))


@lru_cache
def food_classes() -> dict[str, FoodClass]:
    """Classes of food by id."""
    read = [FoodClass.model_validate(one) for one in shipped("food-classes")["classes"]]
    return {one.id: one for one in read}


def class_of(component: Component | None) -> FoodClass | None:
    """The class of a component's food; None where it names none, or one that nobody knows."""
    return food_classes().get((component.food_class if component else None) or "")


def controlled(component: Component | None) -> bool:
    """Are time and temperature a matter of safety for it? Without a class nobody can say."""
    found = class_of(component)
    return found is not None and found.controlled


def profile_of(kitchen: Kitchen) -> Profile | None:
    """A kitchen's rule profile, with its own limits and what it has confirmed.

    An own limit that is looser than the published one holds only where somebody answers for it
    (`loosening.holding`). None where it names none, or one that there is not.
    """
    if kitchen.rule_profile not in NAMES:
        return None
    confirmed = tuple(kitchen.confirmed.items())
    return _joined(kitchen.rule_profile, kitchen.own_limits, confirmed)


@lru_cache(maxsize=64)
def _joined(name: str, own_limits: FoodLimits, confirmed: tuple[tuple[str, str], ...]) -> Profile:
    """Compiling and checking a week ask for it hundreds of times."""
    base, looked_up = profile(name), dict(confirmed)
    published = dict(base.food.named())
    own = {
        limit: one.model_copy(update={"confirmed": looked_up.get(limit) or one.confirmed})
        for limit, one in own_limits.named()
    }
    food: dict[str, Source] = {
        limit: one.model_copy(update={"confirmed": looked_up[limit]}) if limit in looked_up else one
        for limit, one in published.items()
    }
    food |= {limit: holding(limit, one, published.get(limit)) for limit, one in own.items()}
    absent = {limit: why for limit, why in base.absent.items() if limit not in own}
    # Nothing is parsed again: everything in it is whole already.
    return base.model_copy(
        update={"food": FoodLimits.model_construct(**_all(food)), "absent": absent}
    )


def _all(food: dict[str, Any]) -> dict[str, Any]:
    return {name: food.get(name) for name in FoodLimits.model_fields}


def food_limits(kitchen: Kitchen) -> FoodLimits:
    """The limits of food safety that hold in a kitchen; none where it names no profile."""
    found = profile_of(kitchen)
    return found.food if found is not None else NO_LIMITS


def hours_of(kitchen: Kitchen) -> Work | None:
    """The working hours of a kitchen's rule profile; None where it has none."""
    if kitchen.rule_profile not in NAMES:
        return None
    return profile(kitchen.rule_profile).work

"""Limits of food at odds with each other: they cannot both be meant."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from scheduler.domain.limits import Cooling, FoodLimits


def at_odds(food: FoodLimits) -> Iterator[tuple[tuple[str, ...], str]]:
    """Limits that cannot both be meant: their names, and a sentence."""
    cold, hot = food.cold, food.hot
    if cold is not None and hot is not None and cold.value >= hot.value:
        yield ("cold", "hot"), f"`cold` at most {cold} and `hot` at least {hot}: nothing between"
    exposure = food.exposure
    for name, part in (("rechill", food.rechill), ("exposure_hot", food.exposure_hot)):
        if part is not None and exposure is not None and part.most > exposure.most:
            yield (name, "exposure"), f"`{name}` {part} is longer than `exposure` {exposure}"
    for name, cooling in (("cooling", food.cooling), ("cooling_mixed", food.cooling_mixed)):
        for said, other in _cooling(food, cooling):
            yield (name, *other), f"`{name}`: {said}"


def _cooling(food: FoodLimits, cooling: Cooling | None) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Windows that begin in the cold, end in the heat, or allow a part more than the whole."""
    cold, hot = food.cold, food.hot
    for fall in cooling.windows if cooling is not None else ():
        if cold is not None and fall.start <= cold.value:
            yield f"{fall}, and at {cold} it is cold already", ("cold",)
        if hot is not None and fall.end >= hot.value:
            yield f"{fall}, and at {hot} it is still kept hot", ("hot",)
        for other in cooling.windows if cooling is not None else ():
            inside = other.start >= fall.start and other.end <= fall.end and other is not fall
            if inside and other.within < fall.within:
                yield f"{fall} is part of {other}, which allows less", ()

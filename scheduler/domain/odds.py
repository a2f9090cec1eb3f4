"""Limits of food that cannot be meant: out of all range, or at odds with each other."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.domain.celsius import other_unit, write_celsius
from scheduler.domain.choices import choices
from scheduler.domain.limits import (
    Cooling,
    Count,
    Freezing,
    Length,
    Measured,
    Roasts,
    Source,
    Temperature,
)
from scheduler.domain.quantity import plain
from scheduler.domain.times import write_duration

if TYPE_CHECKING:
    from scheduler.domain.choices import Plausible
    from scheduler.domain.limits import FoodLimits


def implausible(food: FoodLimits) -> Iterator[tuple[str, str]]:
    """Limits outside of what anybody can mean, by name, each with a sentence."""
    for name, limit in food.named():
        between = choices().plausible.get(name)
        if between is not None:
            for said in _outside(limit, between):
                yield name, f"`{name}`: {said}"


def _outside(limit: Source, between: Plausible) -> Iterator[str]:
    degrees, times, number = _figures(limit)
    if between.degrees is not None:
        low, high = between.degrees
        for one in degrees:
            if not low <= one <= high:
                there = f"{plain_celsius(low)} and {write_celsius(high)}"
                maybe = other_unit(one, int(low), int(high))
                yield f"{write_celsius(one)} is not between {there}{maybe}"
    if between.time is not None:
        least, most = between.time
        for length in times:
            if not least <= length <= most:
                there = f"{write_duration(least)} and {write_duration(most)}"
                yield f"{write_duration(length)} is not between {there}"
    if between.number is not None and number is not None:
        low, high = between.number
        if not low <= number <= high:
            of = "pH " if isinstance(limit, Measured) else ""
            tenth = number / 10
            maybe = f". Maybe '{plain(tenth, 4)}'" if of and low <= tenth <= high else ""
            there = f"{plain(low, 4)} and {plain(high, 4)}"
            yield f"{of}{plain(number, 4)} is not between {there}{maybe}"


def plain_celsius(degrees: Fraction) -> str:
    """Without the unit, which stands behind the second of two."""
    return write_celsius(degrees).removesuffix(" °C")


def _figures(limit: Source) -> tuple[list[Fraction], list[int], Fraction | None]:
    """Temperatures, lengths of time, and a plain number of a limit."""
    if isinstance(limit, Freezing):
        return [limit.value], [limit.held], None
    if isinstance(limit, Temperature):
        return [limit.value], [], None
    if isinstance(limit, Length):
        return [], [limit.value], None
    if isinstance(limit, Cooling):
        ends = [t for fall in limit.windows for t in (fall.start, fall.end)]
        return ends, [fall.within for fall in limit.windows], None
    if isinstance(limit, Roasts):
        return [row.core for row in limit.rows], [], None
    if isinstance(limit, (Count, Measured)):
        return [], [], Fraction(limit.value)
    return [], [], None


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

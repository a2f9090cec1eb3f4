"""Limits and temperatures that nobody can have meant: a slip of the unit, of the point, of the
sign. Ranges in which a figure may lie at all; no limits themselves, and our own choice."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from scheduler.domain.celsius import fahrenheit_meant, other_unit, write_celsius
from scheduler.domain.limits import Cooling, Core, Freezing, Length, Temperature
from scheduler.domain.quantity import plain
from scheduler.domain.times import write_duration

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Store
    from scheduler.domain.limits import FoodLimits

HOUR, DAY = 60, 1440
_COOKED = (45, 100)
_DEGREES: dict[str, tuple[int, int]] = {
    "cold": (-5, 15), "hot": (45, 90), "reheat": (55, 100), "cook_whole": _COOKED,
    "cook_minced": _COOKED, "cook_poultry": _COOKED, "parasites": (-60, -10),
}  # fmt: skip
_LENGTHS: dict[str, int] = {
    "exposure": DAY, "rechill": DAY, "reheat_within": 12 * HOUR, "date_mark_beyond": 7 * DAY,
    "clean_every": 2 * DAY,
}  # fmt: skip
_NONE_AT_ALL = ("rechill", "date_mark_beyond")
"""What was out may not go back at all; everything that is kept is dated."""
_FROM, _TO = (20, 100), (-5, 60)
_DATED = 90
_WAITING = (-60, 110)
_ROOM = 25
_HOT = 45


class Doubt(NamedTuple):
    """Where in the limits, or in the store; what is wrong; what was probably meant."""

    inside: tuple[str | int, ...]
    what: str
    maybe: str = ""


def doubted(limits: FoodLimits) -> Iterator[Doubt]:
    """Everything in some limits of food safety that cannot be meant."""
    for name, limit in limits.named():
        if isinstance(limit, Temperature) and name in _DEGREES:
            yield from _outside((name, "value"), limit.value, *_DEGREES[name])
        if isinstance(limit, Core) and limit.fahrenheit is not None:
            yield from _both_scales(name, limit.value, limit.fahrenheit)
        if isinstance(limit, Freezing) and not 12 * HOUR <= limit.held <= 60 * DAY:
            days = limit.held // HOUR
            what = f"{write_duration(limit.held)} in the cold; 12 h to 60 d were expected"
            yield Doubt((name, "held"), what, f"'{days} d'" if 1 <= days <= 60 else "")
        if isinstance(limit, Cooling):
            yield from _windows(name, limit)
        if isinstance(limit, Length):
            yield from _length(name, limit.value)
    yield from _others(limits)


def _outside(
    inside: tuple[str | int, ...], value: Fraction, low: int, high: int
) -> Iterator[Doubt]:
    if not low <= value <= high:
        what = f"{write_celsius(value)} is not between {low} and {high} °C"
        maybe = other_unit(value, low, high).removeprefix(". Maybe ")
        if not maybe and low <= -value <= high:
            maybe = f"'{write_celsius(-value)}'"
        yield Doubt(inside, what, maybe)


def _both_scales(name: str, value: Fraction, fahrenheit: int) -> Iterator[Doubt]:
    """A document that rounds both is never a whole degree off."""
    if abs(Fraction(5 * (fahrenheit - 32), 9) - value) > 1:
        there = plain(Fraction(5 * (fahrenheit - 32), 9), 1)
        what = f"{fahrenheit} °F is {there} °C and not {write_celsius(value)}"
        yield Doubt((name, "fahrenheit"), what, str(round(value * 9 / 5 + 32)))


def _windows(name: str, limit: Cooling) -> Iterator[Doubt]:
    told = False
    for n, fall in enumerate(limit.windows):
        for word, value, (low, high) in (("from", fall.start, _FROM), ("to", fall.end, _TO)):
            inside = (name, "windows", n, word)
            found = list(_outside(inside, value, low, high))
            meant = fahrenheit_meant(value, low, high)
            if told and not found and meant is not None:
                what = f"{write_celsius(value)}, beside °F"
                found.append(Doubt(inside, what, f"'{write_celsius(meant)}'"))
            told |= bool(found) and meant is not None
            yield from found


def _length(name: str, value: int) -> Iterator[Doubt]:
    most = _LENGTHS.get(name)
    if most is None:
        return
    if value == 0 and name not in _NONE_AT_ALL:
        yield Doubt((name, "value"), "no time at all: nothing could be kept within that")
    elif value > most:
        what = f"{write_duration(value)} is longer than {write_duration(most)}"
        hours = value // DAY
        days = value % DAY == 0 and hours * HOUR <= most
        yield Doubt((name, "value"), what, f"'{hours} h'" if days else "")


def _others(limits: FoodLimits) -> Iterator[Doubt]:
    acid, dry, days, roasts = limits.acid, limits.dry, limits.date_mark, limits.roasts
    if acid is not None and not 3 <= acid.value <= 5:
        tenth = acid.value / 10
        maybe = f"'{plain(tenth, 4)}'" if 3 <= tenth <= 5 else ""
        yield Doubt(("acid", "value"), f"pH {acid} is not between 3 and 5", maybe)
    if dry is not None and not Fraction(1, 2) <= dry.value < 1:
        part = dry.value / 100
        maybe = f"'{plain(part, 4)}'" if Fraction(1, 2) <= part < 1 else ""
        what = f"a water activity of {dry} is not between 0.5 and 1"
        yield Doubt(("dry", "value"), what, maybe)
    if days is not None and days.value > _DATED:
        maybe = str(days.value // 24) if days.value % 24 == 0 else ""
        what = f"{days.value} days of use; at most {_DATED} were expected"
        yield Doubt(("date_mark", "value"), what, maybe)
    if limits.rechill and limits.exposure and limits.rechill.value > limits.exposure.value:
        what = f"`rechill` {limits.rechill} is longer than `exposure` {limits.exposure}"
        yield Doubt(("rechill", "value"), what)
    if roasts is not None:
        for n, row in enumerate(roasts.rows):
            found = list(_outside(("roasts", "rows", n, "core"), row.core, *_COOKED))
            if found:  # the other rows are alike
                yield found[0]
                break


def doubted_store(store: Store) -> Iterator[Doubt]:
    """What no place is, and what none is that is called chilled or frozen.

    A place that is called chilled and is as hot as a hot cupboard is let be: how it keeps
    follows from its temperature.
    """
    for name, value in (("coldest", store.coldest), ("warmest", store.warmest)):
        if value is None:
            continue
        low, high = _WAITING
        if not low <= value <= high:
            what = f"{write_celsius(value)}: food waits in no such place"
            yield Doubt((name,), what, other_unit(value, *_MEANT_FOR.get(store.zone, (low, high)))
                        .removeprefix(". Maybe "))  # fmt: skip
        elif store.zone == "frozen" and value >= 0:
            what = f"{write_celsius(value)}, and it is called frozen"
            # 0 °F is what many freezers say; a sign is easily lost.
            yield Doubt((name,), what, f"'{write_celsius(-value if value > 10 else _DEEP)}'")
        elif store.zone == "chilled" and _ROOM < value < _HOT:
            what = f"{write_celsius(value)}, and it is called chilled"
            yield Doubt((name,), what, other_unit(value, -5, 15).removeprefix(". Maybe "))


_DEEP = Fraction(-18)
_MEANT_FOR = {"hot": (_HOT, 100)}

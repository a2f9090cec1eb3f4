"""Limits and temperatures that nobody can have meant: a slip of the unit, of the point, of the
sign. The ranges in which a figure may lie at all stand in `safety/choices.yaml`."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from scheduler.domain.celsius import fahrenheit_meant, other_unit, write_celsius
from scheduler.domain.choices import choices
from scheduler.domain.limits import Cooling, Core, Freezings, Length, Temperature
from scheduler.domain.quantity import plain
from scheduler.domain.times import write_duration

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Store
    from scheduler.domain.limits import FoodLimits

HOUR, DAY = 60, 1440


class Doubt(NamedTuple):
    """Where in the limits, or in the store; what is wrong; what was probably meant."""

    inside: tuple[str | int, ...]
    what: str
    maybe: str = ""


def doubted(limits: FoodLimits) -> Iterator[Doubt]:
    """Everything in some limits of food safety that cannot be meant."""
    for name, limit in limits.named():
        if isinstance(limit, Temperature):
            yield from _outside((name, "value"), limit.value, *_degrees(name))
        if isinstance(limit, Core) and limit.fahrenheit is not None:
            yield from _both_scales(name, limit.value, limit.fahrenheit)
        if isinstance(limit, Freezings):
            yield from _frozen(name, limit)
        if isinstance(limit, Cooling):
            yield from _windows(name, limit)
        if isinstance(limit, Length):
            yield from _length(name, limit.value)
    yield from _others(limits)


def _degrees(name: str) -> tuple[int, int]:
    """Between which whole °C something can lie."""
    low, high = choices().plausible[name].degrees or (-273, 400)
    return int(low), int(high)


def _frozen(name: str, limit: Freezings) -> Iterator[Doubt]:
    for n, way in enumerate(limit.ways):
        inside = (name, "ways", n)
        yield from _outside((*inside, "at"), way.at, *_degrees(name))
        if way.solid is not None:
            yield from _outside((*inside, "solid"), way.solid, *_degrees(name))
        least, most = choices().plausible[name].time or (0, way.held)
        if not least <= way.held <= most:
            days, there = way.held // HOUR, f"{write_duration(least)} to {write_duration(most)}"
            what = f"{write_duration(way.held)} in the cold; {there} were expected"
            maybe = f"'{days} d'" if 1 <= days <= most // DAY else ""
            yield Doubt((*inside, "held"), what, maybe)


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
        ends = (("from", fall.start, name), ("to", fall.end, f"{name}_to"))
        for word, value, (low, high) in ((w, v, _degrees(of)) for w, v, of in ends):
            inside = (name, "windows", n, word)
            found = list(_outside(inside, value, low, high))
            meant = fahrenheit_meant(value, low, high)
            if told and not found and meant is not None:
                what = f"{write_celsius(value)}, beside °F"
                found.append(Doubt(inside, what, f"'{write_celsius(meant)}'"))
            told |= bool(found) and meant is not None
            yield from found


def _length(name: str, value: int) -> Iterator[Doubt]:
    between = choices().plausible.get(name)
    least, most = between.time if between and between.time else (0, value)
    if value == 0 < least:
        yield Doubt((name, "value"), "no time at all: nothing could be kept within that")
    elif value < least:
        what = f"{write_duration(value)} is shorter than {write_duration(least)}"
        yield Doubt((name, "value"), what, f"'{value} h'" if value * HOUR <= most else "")
    elif value > most:
        what = f"{write_duration(value)} is longer than {write_duration(most)}"
        hours = value // DAY
        days = value % DAY == 0 and hours * HOUR <= most
        yield Doubt((name, "value"), what, f"'{hours} h'" if days else "")


def _others(limits: FoodLimits) -> Iterator[Doubt]:
    acid, days, roasts = limits.acid, limits.date_mark, limits.roasts
    low, high = choices().plausible["acid"].number or (Fraction(0), Fraction(14))
    if acid is not None and not low <= acid.value <= high:
        tenth = acid.value / 10
        maybe = f"'{plain(tenth, 4)}'" if low <= tenth <= high else ""
        what = f"pH {acid} is not between {plain(low, 4)} and {plain(high, 4)}"
        yield Doubt(("acid", "value"), what, maybe)
    _, dated = choices().plausible["date_mark"].number or (0, 400)
    if days is not None and days.value > dated:
        maybe = str(days.value // 24) if days.value % 24 == 0 else ""
        what = f"{days.value} days of use; at most {dated} were expected"
        yield Doubt(("date_mark", "value"), what, maybe)
    if roasts is not None:
        for n, row in enumerate(roasts.rows):
            found = list(_outside(("roasts", "rows", n, "core"), row.core, *_degrees("roasts")))
            if found:  # the other rows are alike
                yield found[0]
                break


def doubted_store(store: Store) -> Iterator[Doubt]:
    """What no place is, and what none is that is called chilled or frozen.

    A place that is called chilled and is as hot as a hot cupboard is let be: how it keeps
    follows from its temperature.
    """
    ours = choices()
    deep = ours.freezer.value
    for name, value in (("coldest", store.coldest), ("warmest", store.warmest)):
        if value is None:
            continue
        low, high = _degrees("store")
        if not low <= value <= high:
            what = f"{write_celsius(value)}: food waits in no such place"
            meant = _degrees("store_hot" if store.zone == "hot" else "store")
            yield Doubt((name,), what, other_unit(value, *meant).removeprefix(". Maybe "))
        elif store.zone == "frozen" and value >= 0:
            what = f"{write_celsius(value)}, and it is called frozen"
            # 0 °F is what many freezers say; a sign is easily lost.
            yield Doubt((name,), what, f"'{write_celsius(-value if value > 10 else deep)}'")
        elif store.zone == "chilled" and ours.room.value < value < ours.meant_hot.value:
            what = f"{write_celsius(value)}, and it is called chilled"
            maybe = other_unit(value, *_degrees("cold")).removeprefix(". Maybe ")
            yield Doubt((name,), what, maybe)

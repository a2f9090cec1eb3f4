"""A kitchen's own limit against the published one: is it looser, and which of them holds?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.cooked import asked
from scheduler.domain.limits import (
    AllergenRule,
    ColdRooms,
    Cooling,
    Core,
    Count,
    Exposure,
    Freezing,
    Freezings,
    Length,
    Measured,
    Roasts,
    Rule,
    Temperature,
    Within,
)
from scheduler.heat.lethality import held_for

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from scheduler.domain.limits import Source

AT_MOST = ("cold",)
"""Temperatures that are a most; all others are a least, but for freezing."""


def looser(name: str, own: Source, published: Source) -> bool:
    """Does a kitchen's own limit let pass what the published one does not?

    Also where it would only be told (`advice`, from memory) and the published one is enforced.
    Stricter or the same is False; what cannot be compared (another list of allergens) is True.
    """
    if published.hard and not own.hard:
        return True
    return _wider(name, own, published)


def holding(name: str, own: Source, published: Source | None) -> Source:
    """Which of the two holds: a looser one of its own only where somebody answers for it.

    What is published and not enforced itself gives way.
    """
    if published is None or not published.hard or own.confirmed:
        return own
    return published if looser(name, own, published) else own


def _wider(name: str, own: Source, published: Source) -> bool:
    match own, published:
        case Freezings(), Freezings():
            return not all(any(_as_frozen(a, b) for b in published.ways) for a in own.ways)
        case Core(), Core():
            return any(
                (fewest := asked(at, published)) is None or seconds < fewest[0]
                for at, seconds in _times(own)
            )
        case Temperature(), Temperature():
            warmer = own.value > published.value
            return warmer if name in AT_MOST else own.value < published.value
        case Exposure(), Exposure():
            less = own.counts == "waiting" and published.counts == "everything"
            return own.most > published.most or less or (published.once and not own.once)
        case Within(), Within():
            return own.most > published.most
        case Length(), Length():
            return own.value > published.value
        case Count(), Count():
            return own.value > published.value
        case Measured(), Measured():
            return own.value > published.value
        case Cooling(), Cooling():
            return any(
                (least := _at_most(own, fall.start, fall.end)) is None or least > fall.within
                for fall in published.windows
            )
        case Roasts(), Roasts():
            return _less_cooked(own, published)
        case AllergenRule(), AllergenRule():
            return own.items != published.items
        case ColdRooms(), ColdRooms():
            return any(_seldom(own, published, row.room) for row in (*own.rows, *published.rows))
        case Rule(), Rule():
            return False
    return True


def _times(limit: Core) -> Iterator[tuple[Fraction, int]]:
    """Each temperature that is enough, with its seconds."""
    yield limit.value, limit.seconds
    yield from ((row.core, row.seconds) for row in limit.also)


def _as_frozen(own: Freezing, published: Freezing) -> bool:
    """Is one way of freezing at least as cold, as long and as thorough as another?"""
    through = published.solid is None or (
        own.solid is not None and own.solid <= published.solid
    )
    return own.at <= published.at and own.held >= published.held and through


def _at_most(limit: Cooling, start: Fraction, end: Fraction) -> int | None:
    """How long a limit lets food take from one temperature to another; None: as long as it likes.

    Windows may follow upon each other: 60 to 21 °C in 2 h, then to 5 °C in 4 h: 57 to 5 °C in 6 h.
    """
    if start <= end:
        return 0
    found = []
    for fall in limit.windows:
        if fall.start >= start > fall.end:
            rest = _at_most(limit, fall.end, end)
            if rest is not None:
                found.append(fall.within + rest)
    return min(found, default=None)


def _seldom(own: ColdRooms, published: ColdRooms, room: Fraction) -> bool:
    """Is a room cleaned less often? One that is in no row is no cold room, which is stricter."""
    mine, theirs = own.at(room), published.at(room)
    return mine is not None and (theirs is None or mine.value > theirs.value)


def _less_cooked(own: Roasts, published: Roasts) -> bool:
    """Is there a temperature at which less time is enough? Between rows both are log-linear."""
    mine = [(float(row.core), row.seconds) for row in own.rows]
    theirs = [(float(row.core), row.seconds) for row in published.rows]
    for core, _ in (*mine, *theirs):
        asked, has = held_for(theirs, core), held_for(mine, core)
        if has is not None and (asked is None or has < asked):
            return True
    return False

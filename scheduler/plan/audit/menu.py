"""Portions, counted again from the menu: margins, choices, diets, crew and waves."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.kitchen import Kitchen
    from scheduler.domain.week import Course, Event
    from scheduler.plan.audit.facts import Facts
    from scheduler.plan.audit.making import Making

Order = tuple[str, int, str | None, int | None]
"""Event, place in its menu, diet, wave: what one batch of a dish is for."""


@dataclass(frozen=True, slots=True)
class Count:
    """How a course is counted.

    Attributes
    ----------
    asked : int
        Portions before any margin.
    planned : int
        With the margin, diets included, crew not.
    apart : int
        Diets.
    """

    asked: int
    planned: int
    apart: int
    crew: int


def asked(course: Course, event: Event) -> int:
    """count, or the share of guests rounded up, or so many each guest, table or event."""
    if course.count is not None:
        return course.count
    if course.share is not None:
        return ceil(course.share.part * event.guests)
    each = {"guest": event.guests, "table": event.tables or 0, "event": 1}[course.each]
    return course.per * each


def with_margin(n: int, event: Event, kitchen: Kitchen) -> int:
    """n (1 + m), rounded up; never fewer than a smaller event gets.

    Bands fall at their edges (100 guests and 10 % are 110, 101 guests and 5 %
    were 107), so every smaller edge u is tried too: n u / guests (1 + m_u).
    """
    if event.margin is not None:
        return ceil(n * (1 + event.margin.part))
    own = next(
        (b for b in kitchen.margins if b.up_to is None or event.guests <= b.up_to),
        kitchen.margins[-1] if kitchen.margins else None,
    )
    counts = [ceil(n * (1 + own.margin.part)) if own else n]
    for band in kitchen.margins:
        if band.up_to is not None and band.up_to < event.guests:
            counts.append(ceil(Fraction(n * band.up_to, event.guests) * (1 + band.margin.part)))
    return max(counts)


def count(course: Course, event: Event, kitchen: Kitchen) -> Count:
    """Every figure of one course."""
    n = asked(course, event)
    apart = sum(d.count for d in course.diets)
    return Count(n, with_margin(n, event, kitchen), apart, course.crew)


def in_waves(total: int, course: Course) -> list[int]:
    """Whole portions of each wave: cumulative shares rounded up, then their differences."""
    so_far, served, waves = Fraction(0), 0, []
    for wave in course.waves:
        so_far += wave.share.part
        reached = ceil(total * so_far)
        waves.append(reached - served)
        served = reached
    return waves


def orders(facts: Facts) -> Iterator[tuple[Order, int]]:
    """Every batch of a dish that the menus ask for, with its portions."""
    kitchen = facts.scenario.kitchen
    for event in facts.scenario.week.events:
        for place, course in enumerate(event.menu):
            counted = count(course, event, kitchen)
            for diet in course.diets:
                yield (event.id, place, diet.id, None), diet.count
            rest = max(0, counted.planned - counted.apart) + counted.crew
            if not course.waves:
                yield (event.id, place, None, None), rest
            for i, portions in enumerate(in_waves(rest, course)):
                yield (event.id, place, None, i), portions


def order_of(making: Making) -> Order:
    """What a batch of a dish is for; diets belong to the first wave."""
    batch = making.batch
    waves = making.course is not None and making.course.waves and batch.diet is None
    return batch.event or "", batch.course or 0, batch.diet, (batch.wave or 0) if waves else None


def own_margin(making: Making, margin: Fraction) -> Fraction:
    """Portions that a component with its own margin is counted on.

    ceil((n - diets)(1 + its margin)) + crew for the normal batch, and of that
    a wave's part; a diet is counted exactly.
    """
    course, event = making.course, making.event
    if course is None or event is None or making.diet is not None:
        return making.size
    rest = max(0, asked(course, event) - sum(d.count for d in course.diets))
    portions = ceil(rest * (1 + margin)) + course.crew
    if course.waves:
        portions = in_waves(portions, course)[making.batch.wave or 0]
    return Fraction(portions)


def check(facts: Facts) -> None:
    """Rule `menu`."""
    there: dict[Order, list[Making]] = {}
    for making in facts.makings.values():
        if making.dish is not None:
            there.setdefault(order_of(making), []).append(making)
    for order, portions in orders(facts):
        name = _named(order, facts)
        found = there.pop(order, [])
        if not found and portions:
            facts.broken("menu", name, f"has no batch; {portions} portions are asked for")
        if len(found) > 1:
            facts.broken("menu", name, f"has {len(found)} batches; one is asked for")
        for making in found:
            if making.size != portions:
                facts.broken(
                    "menu",
                    making.id,
                    f"is {making.batch.quantity}; {name} comes to {portions} portions",
                )
    for order, found in there.items():
        for making in found:
            facts.broken("menu", making.id, f"nobody asked for {_named(order, facts)}")


def _named(order: Order, facts: Facts) -> str:
    event, place, diet, wave = order
    words = [f"{facts.scenario.event[event].menu[place].dish} for {event}"]
    if diet is not None:
        words.append(diet)
    if wave is not None:
        words.append(f"wave {wave + 1}")
    return ", ".join(words)

"""A smallest batch so far above what the week needs that a unit must have slipped."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from scheduler.domain.checks_events import portions
from scheduler.domain.draft import Draft
from scheduler.domain.problems import Problem
from scheduler.domain.quantity import Quantity
from scheduler.domain.recipes import Take
from scheduler.domain.walks import in_measure

_MOST = 10**30
FAR = 100
"""Kilograms for grams are a factor of 1,000; a jar that lasts a season is not."""


def demand(draft: Draft) -> list[Problem]:
    """smallest batch <= 100 x all that the events take of it, with margins and losses.

    A smallest batch that is only somewhat above the demand is no mistake: it
    is made, and what is left over is reported with the work. What is on hand
    is not taken off here.
    """
    if not draft.whole >= {"kitchen", "components", "dishes", "week"}:
        return []
    needed = _needed(draft)
    found = []
    for component in draft.components:
        least = component.batch.least
        size = None if least is None else in_measure(least, component.makes.dimension, component)
        enough = needed.get(component.id)
        if least is None or size is None or not enough or size <= FAR * enough:
            continue
        about = Quantity.of(enough, component.makes.dimension)
        what = f"the smallest batch, {least}, is {size // enough} times all the week needs, {about}"
        found.append(draft.problem(component.batch, "least", what=what, maybe="another unit"))
    return found


def _needed(draft: Draft) -> dict[str, int]:
    """What the events take of each component, base units; nothing where it goes in a circle."""
    first: dict[str, int] = {}
    for event in draft.week.events:
        guests = event.guests
        band = (b.margin for b in draft.kitchen.margins if (b.up_to or guests) >= guests)
        margin = event.margin or next(band, None)
        for course in event.menu:
            dish = draft.dish.get(course.dish)
            count = portions(event, course) * (1 + (margin.part if margin else 0)) + course.crew
            for take in dish.inputs if dish is not None else ():
                swapped = [d.swap[c] for d in course.diets if (c := take.component) in d.swap]
                for name in (take.component, *swapped):
                    _add(draft, first, take, name, Fraction(count))
    needed, wave = dict(first), first
    for _ in draft.components:
        if not wave:
            return needed
        further: dict[str, int] = {}
        for name, amount in wave.items():
            component = draft.component[name]
            times = amount / (1 - component.loss.part) / component.makes.base
            for take in (t for s in component.steps for t in s.takes):
                if take.component != name:
                    _add(draft, further, take, take.component, times)
        for name, amount in further.items():
            needed[name] = min(_MOST, needed.get(name, 0) + amount)
        wave = further
    return {} if wave else needed


def _add(draft: Draft, to: dict[str, int], take: Take, name: str | None, times: Fraction) -> None:
    component = draft.component.get(name or "")
    if component is None:
        return
    amount = in_measure(take.amount, component.makes.dimension, component)
    if amount is not None:
        part = take.yield_.part if take.yield_ is not None else 1
        margin = component.margin.part if component.margin is not None else 0
        whole = to.get(component.id, 0) + ceil(amount * times / part * (1 + margin))
        to[component.id] = min(_MOST, whole)

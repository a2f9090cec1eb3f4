"""Cooked: how long food is held at a temperature at its core, and whether a recipe cooks it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.domain.choices import choices
from scheduler.domain.methods import variants
from scheduler.heat.lethality import held_for

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction

    from scheduler.domain.judging import Cooked
    from scheduler.domain.limits import Core, Roasts, Source
    from scheduler.domain.recipes import Component


def asked(
    at: Fraction, limit: Core | None, roasts: Roasts | None = None
) -> tuple[int, Source] | None:
    """The fewest seconds that are enough at a core temperature, and by which limit.

    None where no time is: it is below the limit and below the table of whole roasts.
    """
    found: list[tuple[int, Source]] = []
    if limit is not None and limit.reached(at):
        found.append((limit.seconds, limit))
    if limit is not None:
        found += [(row.seconds, limit) for row in limit.also if at >= row.core]
    if roasts is not None:
        rows = [(float(row.core), row.seconds) for row in roasts.rows]
        # The table was made in °F: 136 °F stands in it as 57.8 °C.
        row = next((r.core for r in roasts.rows if r.core == round(at, 1)), at)
        seconds = held_for(rows, float(row))
        found += [] if seconds is None else [(seconds, roasts)]
    return min(found, key=lambda one: one[0], default=None)


def enough(core: Cooked, limit: Core | None, roasts: Roasts | None = None) -> bool:
    """Is a core hot enough for long enough? Under a minute the time is that of the reading."""
    found = asked(core.at, limit, roasts)
    return found is not None and (found[0] < choices().reading.value or core.for_ * 60 >= found[0])


def is_cooked(component: Component) -> bool:
    """Is it cooked when it is ready, in whatever way it is made? Then it is raw no more."""
    return all(any(s.core is not None for s in made.steps) for made in variants(component))


def goes_on(known: Mapping[str, Component], made: Component) -> bool:
    """Is it made of the same raw thing, which is followed to the plate by itself?

    Or of nothing but the same thing cooked (sliced, glazed). Where more is made than goes in of
    other components, it brings in raw food of its own, and is followed itself.
    """
    takes = [
        (known[t.component], t.amount)
        for s in made.steps for t in s.takes
        if t.component is not None and t.component in known
    ]  # fmt: skip
    same = [one for one, _ in takes if one.food_class == made.food_class]
    if any(not is_cooked(one) for one in same):
        return True
    amounts = [amount for _, amount in takes]
    if any(a.dimension is not made.makes.dimension for a in amounts):
        return bool(same)
    return bool(same) and sum(a.base for a in amounts) >= made.makes.base

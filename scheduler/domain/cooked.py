"""How long food is held at a temperature at its core: one meaning for all who ask for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.heat.lethality import held_for

if TYPE_CHECKING:
    from fractions import Fraction

    from scheduler.domain.judging import Cooked
    from scheduler.domain.limits import Core, Roasts, Source


def asked(
    at: Fraction, limit: Core | None, roasts: Roasts | None = None
) -> tuple[int, Source] | None:
    """The fewest seconds that are enough at a core temperature, and by which limit.

    None where no time is: it is below the limit and below the table of whole roasts.
    """
    found: list[tuple[int, Source]] = []
    if limit is not None and limit.reached(at):
        found.append((limit.seconds, limit))
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
    return found is not None and (found[0] < 60 or core.for_ * 60 >= found[0])

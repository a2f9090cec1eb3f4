"""What stood in a store that cannot be used: how long it may have been warm, what becomes of it.

What needs no cold stays. Of all else nothing is good but what somebody who has probed it says is;
how long it may have been warm is counted from when the store was last read as cold.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scheduler.domain.exposed import Exposing
from scheduler.domain.profiles import class_of

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component
    from scheduler.reshuffle.setback import Down
    from scheduler.reshuffle.standing import Standing


@dataclass(frozen=True, slots=True)
class Stood:
    """Something that stood in it.

    Attributes
    ----------
    source : str
        Batch or lot.
    minutes : int or None
        So long it may have been warm; None: nobody knows, or it needs no cold.
    good : bool
        It goes on, in another store.
    said : str
        One sentence.
    """

    source: str
    minutes: int | None
    good: bool
    said: str


def stood_in(standing: Standing, down: Down) -> tuple[Stood, ...]:
    """Everything that stands in a store that is down; nothing where that is no store."""
    if down.what not in standing.scenario.store or down.left:
        return ()
    now = standing.now
    found = {
        h.source for h in standing.plan.holds
        if h.store == down.what and h.start < now < h.end and h.kind != "delivered"
    }  # fmt: skip
    return tuple(_stood(standing, down, source) for source in sorted(found))


def warm_for(standing: Standing, down: Down) -> int | None:
    """How long a store may have been warm, minutes; None: nobody knows."""
    if down.cold is None:
        return None
    return max(0, standing.exactly - standing.clock.minute(down.cold))


def too_long(standing: Standing, down: Down) -> str:
    """Why nobody may call good what stood in it; empty where somebody may."""
    minutes, limit = warm_for(standing, down), Exposing(standing.scenario).limit
    if minutes is None or limit is None or minutes <= limit.most:
        return ""
    long, most = standing.names.length(minutes), standing.names.length(limit.most)
    return f"may have been warm for {long}, longer than the {most} that food may be out"


def _stood(standing: Standing, down: Down, source: str) -> Stood:
    what = standing.names.batch(source)
    if not needs_cold(standing, down, source):
        return Stood(source, None, True, f"{what} needs no cold: it goes elsewhere.")
    minutes, long = warm_for(standing, down), too_long(standing, down)
    if source in down.good:
        return Stood(source, minutes, True, f"{what} is said to be good: it goes elsewhere.")
    if long:
        return Stood(source, minutes, False, f"{what} {long}: thrown away.")
    limit = Exposing(standing.scenario).limit
    if minutes is None or limit is None:
        said = f"nobody knows how long {what} was warm: thrown away, unless it is said to be good"
    else:
        length = standing.names.length
        said = (
            f"{what} was warm for {length(minutes)} at most, of {length(limit.most)} that food "
            "may be out in all: thrown away, unless it is probed and said to be good"
        )
    return Stood(source, minutes, False, f"{said}.")


def needs_cold(standing: Standing, down: Down, source: str) -> bool:
    """Is it food that only the cold keeps, in a store that is cold?"""
    of = _component(standing, source)
    cold = Exposing(standing.scenario).store(down.what, of) in ("cold", "frozen")
    found = class_of(of)  # without a class nobody can say
    return not cold or found is None or found.controlled


def _component(standing: Standing, source: str) -> Component | None:
    batch = standing.batch.get(source)
    lots = {lot.id: lot.component for lot in standing.scenario.week.on_hand}
    name = batch.component if batch is not None else lots.get(source)
    return standing.scenario.component.get(name or "")

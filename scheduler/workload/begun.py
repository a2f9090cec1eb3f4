"""What a batch in progress stands on when the week opens."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from scheduler.workload.places import Wanted

if TYPE_CHECKING:
    from scheduler.workload.builder import Builder


def standing(b: Builder, batch: str, want: Wanted) -> Wanted:
    """The options among the units and stores the week names for it; all where it names none."""
    begun = next(p for p in b.scenario.week.in_progress if p.id == batch)
    named = {b.unit[u] for u in begun.on if u in b.unit}
    named |= {b.store[s] for s in begun.on if s in b.store}
    options = tuple(o for o in want.options if o.resource in named)
    return replace(want, options=options or want.options)


def already_hot(b: Builder, uses: list[Wanted]) -> None:
    """An oven that runs when the week opens needs no heating up to what it is set to."""
    for want in uses:
        for option in want.options:
            resource = b.resources[option.resource]
            if option.state is not None and resource.initial:
                # Whatever it was used for: settings repeat for each residue.
                every = b.ovens.size(b.holders[option.resource].kind)
                initial = list(resource.initial)
                initial[option.state % every :: every] = [0] * (len(initial) // every)
                b.resources[option.resource] = replace(resource, initial=tuple(initial))

"""Links: least and most between any two endpoints."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from scheduler.solve.cpsat.model import Model


def add_links(model: Model) -> None:
    """least <= time(after) - time(before) <= most, where both batches are there."""
    for link in model.problem.links:
        both = (model.here(link.before), model.here(link.after))
        if any(here is False for here in both):
            continue
        model.units.add("links")
        before, after = model.at(link.before), model.at(link.after)
        if link.least is not None:
            model.at_least(after, before, link.least, *both)
        if link.most is not None:
            model.at_least(before, after, -link.most, *both)

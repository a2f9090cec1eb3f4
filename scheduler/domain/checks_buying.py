"""Buying in: packs in a measure the recipe knows, hours on the grid, something left to use."""

from __future__ import annotations

from scheduler.domain.draft import Draft
from scheduler.domain.methods import bought_keeps
from scheduler.domain.problems import Problem
from scheduler.domain.times import write_duration
from scheduler.domain.walks import in_measure


def buying(draft: Draft) -> list[Problem]:
    """What is bought in comes in whole packs, and keeps beyond the hours it may come in."""
    found = []
    grid = draft.kitchen.grid
    for component in draft.components:
        bought = component.bought_in
        if bought is None:
            continue
        if in_measure(bought.pack, component.makes.dimension, component) is None:
            what = (
                f"a pack of '{bought.pack}'; {component.id} is made as '{component.makes}', and "
                "it states no way from one to the other"
            )
            found.append(draft.problem(bought, "pack", what=what))
        if bought.hours.start % grid or bought.hours.end % grid:
            what = f"{bought.hours} is not on the grid of {write_duration(grid)}"
            found.append(draft.problem(bought, "hours", what=what))
        wide, limit = bought.hours.end - bought.hours.start, bought_keeps(component)[0].at_most
        if limit - wide < grid:
            what = (
                f"it comes any time in {bought.hours} and keeps {write_duration(limit)}, so "
                "nothing of that is left"
            )
            maybe = "shorter hours, or an `at_most` of its own"
            found.append(draft.problem(bought, "hours", what=what, maybe=maybe))
    return found

"""Unit numbers for equipment that was planned by number alone."""

from __future__ import annotations

from collections.abc import Sequence


def coloured(spans: Sequence[tuple[int, int, int]], units: int) -> list[tuple[int, ...]]:
    """Which units each span takes: the smallest free ones, in order of start.

    Parameters
    ----------
    spans : sequence of (start, end, amount)
        Half-open; a span of no length takes units too, but keeps nobody out.
    units : int
        How many there are; enough where no moment takes more.

    Returns
    -------
    list of tuple of int
        Places of units, span by span in the order given.
    """
    free_at = [-(10**9)] * units
    taken: list[tuple[int, ...]] = [()] * len(spans)
    for i in sorted(range(len(spans)), key=lambda i: (spans[i][0], i)):
        start, end, amount = spans[i]
        free = [u for u in range(units) if free_at[u] <= start][:amount]
        taken[i] = tuple(free)
        if end > start:
            for u in free:
                free_at[u] = end
    return taken

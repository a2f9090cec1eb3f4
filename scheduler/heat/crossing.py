"""Where a function crosses zero."""

from __future__ import annotations

from collections.abc import Callable


def crossing(rises: Callable[[float], float], low: float, high: float) -> float:
    """Where `rises` goes from below zero to zero or above, to the last digit of a float.

    Its ends are never looked at: that it is below zero just above `low` and
    not below zero at `high` is for the caller to know.
    """
    while True:
        middle = (low + high) / 2
        if not low < middle < high:
            return middle
        if rises(middle) < 0:
            low = middle
        else:
            high = middle

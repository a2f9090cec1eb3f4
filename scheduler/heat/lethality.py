"""How long food must be held at a temperature, between the rows of a published table.

What kills does so by the logarithm: a few degrees more take a tenth of the
time. A straight line between two rows would ask for too much in the middle.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, exp, log

Row = tuple[float, int]
"""°C and seconds."""


def held_for(rows: Sequence[Row], celsius: float) -> int | None:
    """Seconds at a temperature, log-linear between rows by rising temperature, rounded up.

    None below the first row: no time is known to be enough. Above the last row
    its own time. Beside a row of no time at all that of the row below holds.
    """
    if celsius < rows[0][0]:
        return None
    for (a, long), (b, short) in pairwise(rows):
        if a <= celsius < b:
            if not short or celsius == a:
                return long
            part = (celsius - a) / (b - a)
            # A hair is taken off before rounding up: the logarithm of a row is not exact.
            return ceil(exp(log(long) + part * (log(short) - log(long))) - 1e-6)
    return rows[-1][1]

"""How long somebody waits after wrong codes: never for good, and longer each time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

FREE = 5
"""So many wrong codes …"""
WITHIN = timedelta(minutes=10)
"""… within this are free, as fingers are wet."""
FIRST = timedelta(minutes=1)
"""Then one waits; after each further wrong code twice as long …"""
LONGEST = timedelta(hours=1)
"""… and at most this."""
FORGOTTEN = timedelta(days=1)
"""After a day without a wrong code nothing is held against anybody."""


def waits_until(wrong: Sequence[datetime], now: datetime) -> datetime | None:
    """Until when no further code is looked at; None where one may be tried now.

    Parameters
    ----------
    wrong : sequence of datetime
        When wrong codes were tried since the last right one, in the order in which they were.
        What a clock that was set back calls the future counts as now.
    now : datetime
    """
    times = [min(t, now) for t in wrong]
    row = 0
    """Wrong codes that must be waited for, the first of them the one that was one too many."""
    start = 0
    for n, at in enumerate(times):
        if n and at - times[n - 1] >= FORGOTTEN:
            start, row = n, 0
        first = n - FREE + 1
        if row or (first >= start and at - times[first] <= WITHIN):
            row += 1
    if not row or now - times[-1] >= FORGOTTEN:
        return None
    until = times[-1] + min(FIRST * 2 ** min(row - 1, 20), LONGEST)
    return until if until > now else None

"""A clock that stands still while the machine sleeps, or while the process is stopped."""

from __future__ import annotations

import threading
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

TICK = 0.25
"""Whoever keeps the clock going looks at it this often, in seconds."""
GAP = 3.0
"""Nobody has looked for so many seconds: it was no busy machine, it was sleep."""


def _with_sleep() -> float:
    """Seconds that go on while the machine sleeps, where the system counts such."""
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    return time.monotonic()


class Awake:
    """Seconds spent awake; call it to read it.

    It must be read every `TICK` by a thread of its own. Whoever reads it
    first after a longer gap takes the gap off, so nobody finds the time used
    up in sleep.

    Parameters
    ----------
    now : callable
        The clock underneath.

    Attributes
    ----------
    slept : float
        Seconds taken off so far.
    """

    def __init__(self, now: Callable[[], float] = _with_sleep) -> None:
        self._now = now
        self._lock = threading.Lock()
        self._last = now()
        self.slept = 0.0

    def __call__(self) -> float:
        """Read the clock."""
        with self._lock:
            now = self._now()
            if now - self._last > GAP:
                self.slept += now - self._last
            self._last = now
            return now - self.slept

"""Exit codes, the same for every command."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum


class Exit(IntEnum):
    """What a command says to the shell when it ends."""

    FINE = 0
    BROKEN = 1
    """Not VALID, or a check found something broken."""
    BAD_INPUT = 2
    """Bad input or usage, wrong whatever the times."""
    CANNOT_WORK = 3
    """Something cannot work, with its certificate; the rest is planned and written."""
    NOT_SERVED = 4
    """VALID, but not everything is served, or undecided in the time."""
    OUR_FAULT = 70
    INTERRUPTED = 130


WORST_FIRST = (
    Exit.INTERRUPTED,
    Exit.OUR_FAULT,
    Exit.BAD_INPUT,
    Exit.BROKEN,
    Exit.CANNOT_WORK,
    Exit.NOT_SERVED,
    Exit.FINE,
)


def worst(codes: Iterable[Exit]) -> Exit:
    """The code of several weeks together: that of the worst of them."""
    return min(codes, key=WORST_FIRST.index, default=Exit.FINE)


class Stop(Exception):
    """Ends a command with a code; what there was to say has been said."""

    def __init__(self, code: Exit) -> None:
        super().__init__(code)
        self.code = code

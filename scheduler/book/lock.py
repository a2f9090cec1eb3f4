"""Keeping a folder to oneself while files in it change places."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

FILE = ".backtime-export.lock"
"""Only where a folder itself cannot be locked (Windows)."""


class Taken(OSError):
    """Somebody else has it; whoever dies lets go of it."""


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Have a folder to oneself, among those who ask for it so.

    A network drive that knows no locks gives none, and none is waited for.

    Raises
    ------
    Taken
        If somebody else has it.
    OSError
        If it cannot be opened.
    """
    if sys.platform == "win32":
        handle = os.open(folder / FILE, os.O_RDWR | os.O_CREAT)
    else:
        handle = os.open(folder, os.O_RDONLY)
    try:
        _lock(handle)
        yield
    finally:
        os.close(handle)


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            raise Taken from None
        return
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise Taken from None
    except OSError:
        pass  # a drive that knows no locks

"""Reading what a job says: whole lines as they come, and whether its heart still beats."""

from __future__ import annotations

import json
import time
from contextlib import suppress
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

SILENT = 5.0
"""Seconds without a heartbeat after which a job is said to stand still; it is never called dead."""
LOOK = 0.5
"""No look at the heartbeat counts for more than this: whoever listens may have slept as well."""


class Lines:
    """The events of a file that is being written, each once.

    A line that is no JSON was cut off by a full disk or a death, and is left out.
    """

    def __init__(self, path: Path) -> None:
        self._path, self._read, self._rest = path, 0, b""

    def __iter__(self) -> Iterator[dict[str, Any]]:
        """What is new."""
        new = b""
        with suppress(OSError), open(self._path, "rb") as file:
            file.seek(self._read)
            new = file.read()
        self._read += len(new)
        *lines, self._rest = (self._rest + new).split(b"\n")
        for line in lines:
            with suppress(ValueError):
                event = json.loads(line)
                if isinstance(event, dict) and "kind" in event:
                    yield event


class Pulse:
    """Watches a heartbeat file.

    Parameters
    ----------
    path : Path
    now : callable
        The clock.
    """

    def __init__(self, path: Path, now: Callable[[], float] = time.monotonic) -> None:
        self._path, self._now = path, now
        self._beat: int | None = None
        self._looked, self._silent, self._said = now(), 0.0, False

    def look(self) -> dict[str, Any] | None:
        """An event when the heart has stopped for a while ("silent") or beats again ("back")."""
        now = self._now()
        passed, self._looked = min(now - self._looked, LOOK), now
        beat = None
        with suppress(OSError):
            beat = self._path.stat().st_mtime_ns
        if beat is None or beat != self._beat:
            self._beat, self._silent = beat, 0.0
            if self._said:
                self._said = False
                return {"kind": "back"}
            return None
        self._silent += passed
        if self._silent > SILENT and not self._said:
            self._said = True
            return {"kind": "silent"}
        return None

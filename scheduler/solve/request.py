"""What a solving job is asked, and the files it and whoever asked talk through."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

REQUEST = "request.json"
EVENTS = "events.jsonl"
PLAN = "plan.json"
STOP = "stop"
HEARTBEAT = "heartbeat"
LOG = "log.txt"

BEAT = 1.0
"""Seconds between two beats of the heart."""
NO_ROOM = 74
"""What a job ends with when it cannot write in its folder."""
NO_MEMORY = (
    "MemoryError",
    "std::bad_alloc",
    "Memory allocation still failed",
    "Cannot allocate memory",
    "failed to map segment",
    "can't start new thread",
)
"""What Python, C++, OpenBLAS and Linux say when there is no memory left."""


@dataclass(frozen=True, slots=True)
class Request:
    """What to plan and how.

    Attributes
    ----------
    scenario : dict
        The scenario as plain data.
    seconds : float
        Time to search, from the moment the request has been read.
    seed : int
    deterministic : bool
        Counts steps instead of reading the clock.
    workers : int or None
        Processes or threads at once; left out: two, or as many as a cluster has and one.
    cluster : str or None
        Address of a cluster that helps; left out: this machine alone.
    kept : list of dict
        Tasks that stay where somebody wants them: task, and start (a moment with its offset),
        people or equipment, as `Staying` has it.
    plan : str or None
        The text of a plan file of the same week: what still may stand there stays where it is.
    past : dict or None
        What had happened, as `Past` has it in minutes, where that plan is made anew in the
        middle of the week.
    """

    scenario: dict[str, Any]
    seconds: float = 20
    seed: int = 1
    deterministic: bool = False
    workers: int | None = None
    cluster: str | None = None
    kept: list[dict[str, Any]] = field(default_factory=list)
    plan: str | None = None
    past: dict[str, Any] | None = None

    def text(self) -> str:
        """The request as JSON."""
        return json.dumps(asdict(self), ensure_ascii=False)

    @classmethod
    def read(cls, path: Path) -> Request:
        """Read a request.

        Raises
        ------
        OSError, ValueError, TypeError
            If it cannot be read or is no request.
        """
        return cls(**json.loads(path.read_text(encoding="utf-8")))

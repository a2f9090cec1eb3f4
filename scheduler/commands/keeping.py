"""Putting plans in their place, and never over somebody else's."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from scheduler.plan.atomic import write_atomically

if TYPE_CHECKING:
    from pathlib import Path

SUFFIX = ".plan.json"
"""What the name of a plan file ends with, unless it was named otherwise."""


class Place:
    """Where the plans of one run go, each better one in place of the one before.

    A plan that lay there before the run is replaced. One that somebody else
    has put there since (a second `plan` into the same file) stays, and from
    then on ours go beside it.

    Parameters
    ----------
    path : Path

    Attributes
    ----------
    path : Path
        Where the plans go now.
    taken : Path or None
        Where they went before somebody else's came there.
    text : str or None
        The last plan, written or not.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.taken: Path | None = None
        self.text: str | None = None
        self._known = _content(path)

    def put(self, text: str) -> None:
        """Write a plan.

        Raises
        ------
        OSError
            If it cannot be written.
        """
        self.text = text
        there = _content(self.path)
        if there is not None and there not in (self._known, text):
            self.taken = self.taken or self.path
            self.path, self._known = beside(self.taken), None
        write_atomically(self.path, text)
        self._known = text


def beside(path: Path) -> Path:
    """The first of `a-2.plan.json`, `a-3.plan.json` … that is not there."""
    end = SUFFIX if path.name.endswith(SUFFIX) else path.suffix
    start = path.name.removesuffix(end)
    number = 2
    while (other := path.with_name(f"{start}-{number}{end}")).exists():
        number += 1
    return other


def _content(path: Path) -> str | None:
    with suppress(OSError, UnicodeError):
        return path.read_text(encoding="utf-8")
    return None

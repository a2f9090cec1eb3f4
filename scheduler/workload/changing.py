"""Where jobs were in the plan before, and what it costs that they are elsewhere.

Part of the primitives, which pass these names on. What counts stands in
`domain/changing.py`; this says it of primitive tasks.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class JobWas:
    """A job: where it is in the problem, and where it was.

    Attributes
    ----------
    batch : int
        What it is part of; -1: it is not in the problem any more.
    task : int
        Its first primitive task.
    crews, tends, adds : tuple of int
        Places in Problem.crews, .tends and .adds: whose hands.
    start : int or None
        The tick at which it started; None: it is new.
    people : frozenset of int
        Who was at it.
    """

    batch: int
    task: int
    crews: tuple[int, ...]
    tends: tuple[int, ...]
    adds: tuple[int, ...]
    start: int | None
    people: frozenset[int]


@dataclass(frozen=True, slots=True)
class Changes:
    """Every job that had not begun; `now`: the tick from which all is planned anew."""

    jobs: tuple[JobWas, ...]
    now: int

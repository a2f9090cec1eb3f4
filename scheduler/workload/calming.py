"""Primitives of calm: a part of quality that only whole solutions have."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shift:
    """One person's shift for `Calm`, minutes; `most`: minutes of work in it that are free."""

    start: int
    end: int
    most: int | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """What hands are at: its number, its section (-1: nobody's own), and may it start late?"""

    number: int
    section: int = -1
    late: bool = False


@dataclass(frozen=True, slots=True)
class Calm:
    """What a hectic shift costs: not additive, so only whole solutions are weighed by it.

    A person's work belongs to their last shift that starts before it ends. Of each shift,
    with its work in order of (start, end):

    - over * max(0, minutes of work (counted once where it overlaps) - most)
    - late for each crew whose job may be `late`, of at least `long` minutes, that starts
      less than `last` before the shift ends
    - section for each two works in a row of different sections (-1 is passed over)
    - change for each two works in a row of different jobs, beyond `free`

    Work of at most `short` minutes that begins less than `ends` after the shift does or
    ends less than `ends` before it is passed over by the last two.

    And over all: hand_over for each pair of crews in `handed` with nobody in both; oven
    for each two uses in a row of one resource with states (longer than their grace) in
    different states; clean for each minute of cleaning between contents.

    Attributes
    ----------
    shifts : tuple of tuple of Shift
        For each person, in order of time.
    crews, tends, adds : tuple of Job or None
        For each of the problem's.
    handed : tuple of (int, int)
        Crews of one load: who loads, who unloads.
    """

    shifts: tuple[tuple[Shift, ...], ...]
    crews: tuple[Job | None, ...]
    tends: tuple[Job | None, ...]
    adds: tuple[Job | None, ...]
    handed: tuple[tuple[int, int], ...] = ()
    over: int = 0
    late: int = 0
    long: int = 60
    last: int = 60
    section: int = 0
    change: int = 0
    free: int = 0
    short: int = 0
    ends: int = 0
    hand_over: int = 0
    oven: int = 0
    clean: int = 0

"""What a change to a plan on the wall costs: people told first, then jobs, then how far they move.

    changes = PERSON x people who are told + sum over changed jobs of near x (JOB + quarters)

A job (a task, or a standing duty's hands) is changed where it is new, gone, begins 15 minutes or
more away from where it was, or is in other hands. Of one that is gone or new everybody at it is
told, of one that moves all who were and will be at it, of one that changes hands those who leave
it and those who come to it. `quarters` are the whole quarters of an hour it moves, a day at most;
`near` is NEAR for what was to begin (or, new, begins) within 12 hours, otherwise 1.

The weights are common practice, no source: one more person told outweighs several jobs of people
who are told anyway, one more job outweighs any distance.
"""

from __future__ import annotations

CHANGE = 15
"""Minutes from which a move is one."""
PERSON = 1000
JOB = 100
FARTHEST = 96
"""Quarters of an hour beyond which it makes no difference how far: a day."""
NEAR = 2
SOON = 12 * 60
"""Minutes ahead of now within which a change costs `NEAR` times as much."""


def moved(minutes: int) -> int:
    """The quarters of a move of so many minutes; 0: it is none."""
    away = abs(minutes)
    return min(FARTHEST, away // CHANGE)


def nearness(start: int, now: int) -> int:
    """How much dearer it is to change what begins then."""
    return NEAR if start - now < SOON else 1

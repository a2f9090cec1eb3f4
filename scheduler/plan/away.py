"""Who steps away from what, for people to read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol, TypeVar


class Spent(Protocol):
    """Somebody's time at something that may be left, or at something short."""

    @property
    def start(self) -> int:
        """Minute."""

    @property
    def end(self) -> int:
        """Minute."""

    @property
    def people(self) -> tuple[str, ...]:
        """Ids."""


Time = TypeVar("Time", bound=Spent)


def away(job: Time, others: Iterable[Time], people: Sequence[str]) -> list[Time]:
    """What some people of a job do elsewhere while it lasts, in order."""
    found = [
        o
        for o in others
        if o is not job
        and job.start <= o.start < o.end <= job.end
        and (o.start, o.end) != (job.start, job.end)
        and any(p in o.people and p in job.people for p in people)
    ]
    return sorted(found, key=lambda o: (o.start, o.end))

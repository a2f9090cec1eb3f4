"""What a job is called in somebody's calendar: the same in every plan, whoever writes it down."""

from __future__ import annotations

import json
import uuid
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Protocol, TypeVar

from scheduler.domain.base import Slug

_SPACE = uuid.UUID("6f1ed7ab-0d9e-5c6c-9a53-3a4f27c1b8e4")


class Keyed(Protocol):
    """A job: which one, and whose."""

    @property
    def key(self) -> str:
        """The same in every plan."""

    @property
    def people(self) -> tuple[Slug, ...]:
        """Ids."""


J = TypeVar("J", bound=Keyed)


def each(jobs: Iterable[J]) -> Iterator[tuple[Slug, str, J]]:
    """Every job of each of its people, with a key of its own; in order of time."""
    seen: Counter[tuple[Slug, str]] = Counter()
    for job in jobs:
        for person in job.people:
            seen[person, job.key] += 1
            again = seen[person, job.key]
            yield person, job.key if again == 1 else f"{job.key}:{again}", job


def uid(kitchen: Slug, week: Slug, person: Slug, key: str) -> str:
    """An id that no other entry in the world has, and that says nothing of anybody.

    RFC 7986, 5.3 (from memory) asks for a UUID; this one follows from whose entry it is.
    """
    return str(uuid.uuid5(_SPACE, json.dumps([kitchen, week, person, key])))

"""What the record comes to: which entries stand, and what is known of a task."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal

from scheduler.book.arriving import doubtful


@dataclass(frozen=True, slots=True)
class Recorded:
    """An entry of the record.

    Attributes
    ----------
    id : str
        As its client made it.
    kitchen : str
    place : int
        Its place in the kitchen's record, in order of arrival, whatever clocks say.
    week, batch : str
    task : str or None
        None: it is about the batch as a whole.
    kind : str
    body : dict
        As `recording.said` checks it.
    who : str
    happened, arrived : datetime
        By its client's clock, and by the book's, in UTC.
    number : int or None
        The plan they were looking at.
    corrects : str or None
        The entry in whose place it stands.
    """

    id: str
    kitchen: str
    place: int
    week: str
    batch: str
    task: str | None
    kind: str
    body: dict[str, Any]
    who: str
    happened: datetime
    arrived: datetime
    number: int | None
    corrects: str | None

    @property
    def doubtful(self) -> bool:
        """It cannot have happened when its client says; the clock there is wrong."""
        return doubtful(self.happened, self.arrived)

    @property
    def when(self) -> datetime:
        """When it happened as far as can be believed: else when it arrived."""
        return self.arrived if self.doubtful else self.happened


State = Literal["unknown", "started", "skipped", "done"]


@dataclass(frozen=True, slots=True)
class TaskState:
    """What is known of a task.

    Attributes
    ----------
    state : str
        Unknown where nobody has said anything, which is not late.
    begun, ended : Recorded or None
        The entries that say so.
    skipped : Recorded or None
        Left out or put off, and not done since.
    made : Recorded or None
        The last that was said of its quantity.
    discarded : tuple of Recorded
        What of it was thrown away.
    measured : tuple of Recorded
        In the order in which they arrived.
    visits : dict of str to Recorded
        Of single visits to it (`tend:2`) what was said last; done stays done.
    """

    state: State = "unknown"
    begun: Recorded | None = None
    ended: Recorded | None = None
    skipped: Recorded | None = None
    made: Recorded | None = None
    discarded: tuple[Recorded, ...] = ()
    measured: tuple[Recorded, ...] = ()
    visits: Mapping[str, Recorded] = field(default_factory=dict)


UNKNOWN = TaskState()


def standing(entries: Iterable[Recorded]) -> tuple[Recorded, ...]:
    """The entries that nothing has been put in the place of, in order of arrival.

    A story is an entry and all that corrects it, or what corrects it; its last stands.
    """
    first: dict[str, str] = {}
    last: dict[str, Recorded] = {}
    for entry in sorted(entries, key=lambda e: e.place):
        before = entry.corrects
        first[entry.id] = entry.id if before is None else first.get(before, before)
        last[first[entry.id]] = entry
    return tuple(sorted(last.values(), key=lambda e: e.place))


def state_of(entries: Sequence[Recorded]) -> TaskState:
    """What entries that stand say of the task they are about.

    Done is done, also where "started" comes out of a pocket later. Between
    started and skipped what arrived last holds. A visit that is done has begun the task,
    and one that is left out says nothing of the rest.
    """
    newest: dict[str, Recorded] = {}
    visits: dict[str, Recorded] = {}
    for entry in entries:
        visit = entry.body.get("visit")
        if visit is None:
            newest[entry.kind] = entry
            continue
        if entry.kind == "done" or visits.get(visit, entry).kind != "done":
            visits[visit] = entry
        if entry.kind != "skipped":
            newest.setdefault("started", entry)
    begun, ended, left = (newest.get(kind) for kind in ("started", "done", "skipped"))
    state: State = "unknown"
    if ended is not None:
        state = "done"
    elif begun is not None or left is not None:
        late = left is not None and (begun is None or left.place > begun.place)
        state = "skipped" if late else "started"
    return TaskState(
        state,
        begun,
        ended,
        left if state == "skipped" else None,
        newest.get("quantity"),
        tuple(e for e in entries if e.kind == "discarded"),
        tuple(e for e in entries if e.kind == "measured"),
        visits,
    )


def states_of(entries: Iterable[Recorded]) -> dict[str, TaskState]:
    """What is known of each task of which anything is known."""
    by_task: dict[str, list[Recorded]] = {}
    for entry in standing(entries):
        if entry.task is not None:
            by_task.setdefault(entry.task, []).append(entry)
    return {task: state_of(some) for task, some in by_task.items()}


def unplanned(
    entries: Iterable[Recorded], planned: Collection[str]
) -> tuple[Recorded, ...]:
    """The entries about what is not in a plan: it was done all the same.

    Parameters
    ----------
    planned : collection of str
        The plan's tasks and batches.
    """
    return tuple(e for e in entries if (e.task or e.batch) not in planned)

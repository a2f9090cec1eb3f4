"""What stands in people's calendars: an entry for each job of each person, with its sequence.

An entry keeps its id for good. Its sequence number is 0 when it is made and
rises by one whenever what it says changes, whenever it is cancelled and
whenever it comes back, and never otherwise. RFC 5545, 3.8.7.4: 0 at first,
raised with each significant revision; RFC 5546, 2.1.4: it must rise with times
and with a cancelling, and may with anything else; 2.1.5: of two with one UID
the higher number holds, so that one that did not rise would not be heard of.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import Connection, bindparam, select, update

from scheduler.book.opening import Book
from scheduler.book.roles import EVERYBODY, Who, may
from scheduler.book.tables import entries as entries_table
from scheduler.plan.entering import each, uid
from scheduler.plan.file import PlanFile
from scheduler.plan.jobs import jobs
from scheduler.plan.words import Names

Key = tuple[str, str]
"""A person, and which job: the same in every plan."""
Says = dict[str, str]
"""What a calendar shows: from, to (ISO 8601 in UTC), title, where."""


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry of somebody's calendar.

    Attributes
    ----------
    kitchen, week, person : str
    task : str
        Which job: a task and which visit to it, a duty, a cleaning, a break.
    sequence : int
        From 0; it has risen whenever the entry has changed.
    says : dict
        from and to (ISO 8601, UTC), title, where; of one that is gone, what it said last.
    gone : bool
        Cancelled: it stays, so that calendars that come late still hear of it.
    number : int
        The plan that said it last; what is cancelled or long over stays with that one.
    at : datetime
        When it was changed last.
    """

    kitchen: str
    week: str
    person: str
    task: str
    sequence: int
    says: Says
    gone: bool
    number: int
    at: datetime

    @property
    def uid(self) -> str:
        """An id that no other entry in the world has, and that says nothing of anybody."""
        return uid(self.kitchen, self.week, self.person, self.task)


@dataclass(frozen=True, slots=True)
class State:
    """What is kept of one entry from plan to plan."""

    sequence: int
    says: Says
    gone: bool


@may(EVERYBODY)
def entries(
    book: Book, who: Who, person: str | None = None, week: str | None = None
) -> tuple[Entry, ...]:
    """Read what stands in people's calendars, also what is cancelled.

    Parameters
    ----------
    person, week : str, optional
        Only theirs, only of this one; in order of time.
    """
    asked = select(entries_table).where(entries_table.c.kitchen == who.kitchen)
    if person is not None:
        asked = asked.where(entries_table.c.person == person)
    if week is not None:
        asked = asked.where(entries_table.c.week == week)
    with book.reading() as connection:
        found = [Entry(**row._asdict()) for row in connection.execute(asked)]
    return tuple(sorted(found, key=lambda e: (e.says["from"], e.week, e.person, e.task)))


def of_plan(file: PlanFile) -> tuple[dict[Key, Says], str]:
    """What a plan says to calendars, and from which moment on it says anything.

    What came before that moment is not in the plan, so it is not taken back by it.
    """
    origin, names = file.scenario.clock.origin, Names(file.scenario, file.plan)
    found: dict[Key, Says] = {}
    for person, key, job in each(jobs(names)):
        found[person, key] = {
            "from": _told(origin, job.start),
            "to": _told(origin, job.end),
            "title": job.what,
            "where": job.where,
        }
    begins = file.scenario.clock.minute(file.scenario.week.plan_from)
    return found, _told(origin, begins)


def _told(origin: datetime, minute: int) -> str:
    return _written(origin + timedelta(minutes=minute))


def _written(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%MZ")


def moved(old: Mapping[Key, State], new: Mapping[Key, Says], begins: str) -> dict[Key, State]:
    """What becomes of entries when a plan goes up: only those that change.

    Parameters
    ----------
    begins : str
        What was over by then stays as it was.
    """
    found: dict[Key, State] = {}
    for key, says in new.items():
        was = old.get(key)
        if was is None:
            found[key] = State(0, says, False)
        elif was.gone or was.says != says:
            found[key] = State(was.sequence + 1, says, False)
    for key, was in old.items():
        if key not in new and not was.gone and was.says["to"] > begins:
            found[key] = State(was.sequence + 1, was.says, True)
    return found


def written(
    connection: Connection,
    kitchen: str,
    week: str,
    new: Mapping[Key, Says],
    begins: str,
    number: int,
    at: datetime,
) -> None:
    """Write what a plan says from a moment on; whoever calls is alone in the kitchen."""
    asked = select(entries_table).where(*_of(kitchen, week))
    old = {
        (row.person, row.task): State(row.sequence, row.says, row.gone)
        for row in connection.execute(asked)
    }
    changes = moved(old, new, begins)
    rows = [
        {"person": person, "task": task, "sequence": s.sequence, "says": s.says, "gone": s.gone,
         "number": number, "at": at}
        for (person, task), s in changes.items()
    ]  # fmt: skip
    fresh = [row for row in rows if (row["person"], row["task"]) not in old]
    if fresh:
        known = {"kitchen": kitchen, "week": week}
        connection.execute(entries_table.insert(), [known | row for row in fresh])
    others = [row for row in rows if (row["person"], row["task"]) in old]
    _change(connection, kitchen, week, [row for row in others if not row["gone"]])
    # What is cancelled was said last by the plan before.
    gone = [{k: v for k, v in row.items() if k != "number"} for row in others if row["gone"]]
    _change(connection, kitchen, week, gone)
    still = [{"person": p, "task": t, "number": number} for p, t in new.keys() - changes.keys()]
    _change(connection, kitchen, week, still)


def cancelled(connection: Connection, kitchen: str, week: str, number: int, at: datetime) -> None:
    """Cancel what a plan that comes down has said, but for what is over: that was cooked by."""
    written(connection, kitchen, week, {}, _written(at), number, at)


def _change(
    connection: Connection, kitchen: str, week: str, rows: list[dict[str, Any]]
) -> None:
    """Change entries that are there, each by its person and task."""
    if not rows:
        return
    keys = [{"a_person": row.pop("person"), "a_task": row.pop("task")} | row for row in rows]
    one = update(entries_table).where(
        *_of(kitchen, week),
        entries_table.c.person == bindparam("a_person"),
        entries_table.c.task == bindparam("a_task"),
    )
    connection.execute(one, keys)


def _of(kitchen: str, week: str) -> tuple[Any, Any]:
    return entries_table.c.kitchen == kitchen, entries_table.c.week == week

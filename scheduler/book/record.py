"""The record: what really happened. It is only added to, and everybody signs as themselves."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, Row, Select, select

from scheduler.book.arriving import Twice, behind, made_id, moment
from scheduler.book.counting import held, next_number
from scheduler.book.errors import BookError, NotThere
from scheduler.book.opening import Book
from scheduler.book.recording import said
from scheduler.book.roles import EVERYBODY, LEADS, Who, may, within
from scheduler.book.standing import UNKNOWN, Recorded, TaskState, states_of
from scheduler.book.tables import record as record_table
from scheduler.book.there import hanging_now, plan_row, week_there
from scheduler.domain.times import write_duration

_BATCH = re.compile(r"[a-z0-9][a-z0-9.-]{0,199}")
_TASK = re.compile(r"[a-z0-9][a-z0-9./-]{0,299}")
_of_others = within(f"{__name__}.enter.others", LEADS, "Correct what others have entered")


@dataclass(frozen=True, slots=True)
class Entry:
    """What somebody enters.

    Attributes
    ----------
    id : str
        Made by the client, e.g. a UUID; the same however often it is sent.
    week, batch : str
    task : str or None
        None: about the batch as a whole.
    kind : str
        done, started, measured, skipped, quantity, discarded, note.
    body : dict
        What it says (`recording`).
    happened : datetime
        Aware; by the client's clock.
    number : int or None
        The plan they are looking at.
    corrects : str or None
        The entry in whose place it stands.
    now : datetime or None
        Aware; what the client's clock said when it was sent. Where that is far from the book's,
        `happened` is put right by as much.
    """

    id: str
    week: str
    batch: str
    task: str | None
    kind: str
    body: dict[str, Any]
    happened: datetime
    number: int | None = None
    corrects: str | None = None
    now: datetime | None = None


@dataclass(frozen=True, slots=True)
class Entered:
    """What became of an entry.

    Attributes
    ----------
    entry : Recorded
    again : bool
        It had been entered already, just so.
    notes : tuple of str
        What whoever entered it should know; it stands all the same.
    """

    entry: Recorded
    again: bool
    notes: tuple[str, ...]


@may(EVERYBODY)
def enter(book: Book, who: Who, entry: Entry) -> Entered:
    """Enter something in the record, as oneself.

    Sent twice it is entered once. A clock that is wrong refuses nothing: where the client has
    said what it shows (`Entry.now`) the time is put right by the difference, otherwise both
    times are kept, and the answer says so. A job that is in no plan is entered as well: it was
    done all the same. Cooks correct what they have entered themselves, chef and sous anybody's.

    Raises
    ------
    NotThere
        There is no such week, or no such entry to correct.
    Twice
        The id has been used for something else.
    NotAllowed
        A cook corrects what somebody else has entered.
    BookError
        What is said makes no sense; one sentence.
    """
    new = _checked(who, entry, book.clock())
    with book.writing() as connection:
        # Whoever is let in here is alone, so an entry sent twice at once is seen by the second.
        held(connection, who.kitchen, "record")
        week_there(connection, who.kitchen, new.week)
        there = _one(connection, new.id)
        if there is not None:
            if _as_sent(there) != _as_sent(new):
                raise _used(there, who)
            return Entered(there, True, _notes(connection, there))
        _refers(connection, who, new)
        new = replace(new, place=next_number(connection, who.kitchen, "record"))
        values = {c.name: getattr(new, c.name) for c in record_table.c}
        connection.execute(record_table.insert(), values)
        return Entered(new, False, _notes(connection, new))


@may(EVERYBODY)
def entry_of(book: Book, who: Who, id: str) -> Recorded:
    """Read one entry of the record.

    Raises
    ------
    NotThere
        This kitchen's record has no such entry.
    """
    with book.reading() as connection:
        found = _one(connection, id)
    if found is None or found.kitchen != who.kitchen:
        raise NotThere(f"The record has no entry '{id[:80]}'.")
    return found


@may(EVERYBODY)
def record_of(
    book: Book,
    who: Who,
    week: str,
    batch: str | None = None,
    task: str | None = None,
    after: int = 0,
) -> tuple[Recorded, ...]:
    """Read the record, in order of arrival.

    Parameters
    ----------
    batch, task : str, optional
        Only of these.
    after : int
        Only what came after this place; its last place says what has been read.

    Raises
    ------
    NotThere
        The book has no such week.
    """
    asked = _of(who.kitchen, week).where(record_table.c.place > after)
    if batch is not None:
        asked = asked.where(record_table.c.batch == batch)
    if task is not None:
        asked = asked.where(record_table.c.task == task)
    with book.reading() as connection:
        week_there(connection, who.kitchen, week)
        return tuple(_recorded(row) for row in connection.execute(asked))


@may(EVERYBODY)
def task_states(book: Book, who: Who, week: str) -> dict[str, TaskState]:
    """Read what is known of tasks; one that is not there is unknown, which is not late.

    Raises
    ------
    NotThere
        The book has no such week.
    """
    return states_of(record_of(book, who, week))


@may(EVERYBODY)
def task_state(book: Book, who: Who, week: str, task: str) -> TaskState:
    """Read what is known of one task.

    Raises
    ------
    NotThere
        The book has no such week.
    """
    return task_states(book, who, week).get(task, UNKNOWN)


def _checked(who: Who, entry: Entry, now: datetime) -> Recorded:
    if not _BATCH.fullmatch(entry.batch):
        raise BookError(f"'{entry.batch[:80]}' is no batch.")
    task = entry.task
    if task is not None and not (_TASK.fullmatch(task) and task.startswith(f"{entry.batch}/")):
        raise BookError(f"'{task[:80]}' is no task of the batch '{entry.batch}'.")
    if entry.kind in ("done", "started", "skipped") and task is None:
        raise BookError(f"An entry '{entry.kind}' needs the task that it is about.")
    if isinstance(entry.body, dict) and "clock" in entry.body:
        raise BookError("By how much a clock is wrong is found out here, not entered.")
    body = said(entry.kind, entry.body).model_dump(mode="json", exclude_defaults=True)
    apart = behind(entry.now, now)
    if apart:
        body["clock"] = int(apart.total_seconds())
    happened = moment(entry.happened) + apart
    return Recorded(
        made_id(entry.id), who.kitchen, 0, entry.week, entry.batch, task, entry.kind, body,
        who.person, happened, now, entry.number, entry.corrects,
    )  # fmt: skip


def _as_sent(entry: Recorded) -> Recorded:
    """An entry as its client has it: sent again, the clocks may have another difference."""
    body = dict(entry.body)
    sent = entry.happened - timedelta(seconds=body.pop("clock", 0))
    return replace(entry, place=0, arrived=sent, happened=sent, body=body)


def _refers(connection: Connection, who: Who, new: Recorded) -> None:
    """What it refers to must be there."""
    if new.number is not None:
        plan_row(connection, new.kitchen, new.number, week=new.week)
    if new.corrects is not None:
        corrected = _one(connection, new.corrects)
        if corrected is None or (corrected.kitchen, corrected.week) != (new.kitchen, new.week):
            raise NotThere(
                f"The record of '{new.week}' has no entry '{new.corrects}' to correct; enter what "
                "happened anew."
            )
        if corrected.who != who.person:
            _of_others(who)


def _used(there: Recorded, who: Who) -> Twice:
    whose = f" ({there.kind} of {there.task or there.batch}, by {there.who})"
    return Twice(
        f"The id '{there.id}' has been used for another entry"
        f"{whose if there.kitchen == who.kitchen else ''}; enter this with a new one, or as a "
        "correction of it. Nothing was changed."
    )


def _notes(connection: Connection, entry: Recorded) -> tuple[str, ...]:
    notes = []
    if "clock" in entry.body:
        behind = entry.body["clock"]
        length = write_duration(round(abs(behind) / 60))
        side = "behind" if behind > 0 else "ahead of"
        notes.append(
            f"The clock where this was entered is {length} {side} the book's; its time was put "
            "right by that."
        )
    if entry.doubtful:
        apart = abs(entry.happened - entry.arrived)
        length = write_duration(int(apart.total_seconds()) // 60)
        side = "ahead of" if entry.happened > entry.arrived else "behind"
        notes.append(
            f"The clock where this was entered is {length} {side} the book's; both times are "
            "kept, and it counts as of when it arrived."
        )
    if entry.number is not None:
        hangs = hanging_now(connection, entry.kitchen).get(entry.week)
        if hangs is None:
            notes.append(f"Plan {entry.number} is not on the wall.")
        elif hangs.number != entry.number:
            notes.append(
                f"Plan {hangs.number} is on the wall by now ({hangs.up_by} put it up), not plan "
                f"{entry.number}; look there for what comes next."
            )
    if entry.corrects is not None:
        others = select(record_table.c.who).where(
            record_table.c.corrects == entry.corrects, record_table.c.place < entry.place
        )
        before = connection.execute(others.order_by(record_table.c.place.desc())).first()
        if before is not None:
            notes.append(f"{before.who} has corrected the same before; yours stands.")
    return tuple(notes)


def _of(kitchen: str, week: str) -> Select[Any]:
    return (
        select(record_table)
        .where(record_table.c.kitchen == kitchen, record_table.c.week == week)
        .order_by(record_table.c.place)
    )


def _one(connection: Connection, id: str) -> Recorded | None:
    row = connection.execute(select(record_table).where(record_table.c.id == id)).first()
    return None if row is None else _recorded(row)


def _recorded(row: Row[Any]) -> Recorded:
    return Recorded(**row._asdict())

"""Solving jobs: who began one where, and what became of it, also where nobody could say so."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Literal, get_args

from sqlalchemy import Connection, Row, Select, select, update

from scheduler.book.arriving import Twice, made_id
from scheduler.book.errors import BookError, NotThere
from scheduler.book.opening import Book
from scheduler.book.processes import mark_of, runs, this_host
from scheduler.book.revisions import held
from scheduler.book.roles import LEADS, Who, may
from scheduler.book.tables import jobs as jobs_table
from scheduler.book.there import plan_row, week_there

Outcome = Literal["done", "stopped", "failed", "gone"]
GONE = "Its process has ended without a word: killed, crashed, or the machine was started anew."


@dataclass(frozen=True, slots=True)
class Job:
    """A solving job.

    Attributes
    ----------
    id : str
        As whoever began it made it.
    kitchen, week : str
    folder : str
        Where it reads and writes (`solve/job.py`).
    host : str
    process : int
        On which machine, as which process.
    mark : str or None
        What tells that from a later process of the same number.
    who : str
    began, ended : datetime
        In UTC; `ended` is None while it runs.
    outcome : str or None
        done, stopped, failed, or gone: found without its process.
    word : str or None
        What is to be said about it.
    number : int or None
        The plan it came to.
    """

    id: str
    kitchen: str
    week: str
    folder: str
    host: str
    process: int
    mark: str | None
    who: str
    began: datetime
    ended: datetime | None
    outcome: Outcome | None
    word: str | None
    number: int | None


@may(LEADS)
def job_began(book: Book, who: Who, id: str, week: str, folder: str, process: int) -> Job:
    """Note that a solving job has begun.

    Parameters
    ----------
    id : str
        Made by whoever begins it, e.g. a UUID.
    folder : str
    process : int
        A process of this machine.

    Raises
    ------
    NotThere
        The book has no such week.
    Twice
        Another job has that id.
    """
    new = Job(
        made_id(id), who.kitchen, week, folder, this_host(), process, mark_of(process), who.person,
        book.clock(), None, None, None, None,
    )  # fmt: skip
    with book.writing() as connection:
        week_there(connection, who.kitchen, week)
        held(connection, who.kitchen)
        there = select(jobs_table.c.id).where(jobs_table.c.id == id)
        if connection.execute(there).first() is not None:
            raise Twice(f"A job with the id '{id}' has begun already; begin it with a new one.")
        values = {c.name: getattr(new, c.name) for c in jobs_table.c}
        connection.execute(jobs_table.insert(), values)
    return new


@may(LEADS)
def job_ended(
    book: Book,
    who: Who,
    id: str,
    outcome: Outcome,
    word: str | None = None,
    number: int | None = None,
) -> Job:
    """Note how a solving job has ended.

    One that was given up as gone may still say so itself; otherwise what was noted first stays.

    Parameters
    ----------
    word : str, optional
        What is to be said about it.
    number : int, optional
        The plan it came to.

    Raises
    ------
    NotThere
    BookError
        It has ended otherwise.
    """
    if outcome not in get_args(Outcome):
        raise BookError(f"A job ends {', '.join(get_args(Outcome))}; not '{outcome}'.")
    with book.writing() as connection:
        held(connection, who.kitchen)
        found = connection.execute(_of(who.kitchen).where(jobs_table.c.id == id)).first()
        if found is None:
            raise NotThere(f"The book has no job '{id}' in kitchen '{who.kitchen}'.")
        if number is not None:
            plan_row(connection, who.kitchen, number, week=found.week)
        one = _job(found)
        if one.outcome not in (None, "gone"):
            if (one.outcome, one.word, one.number) == (outcome, word, number):
                return one
            raise BookError(f"The job '{id}' has ended already: {one.outcome}.")
        return _end(connection, one, book.clock(), outcome, word, number)


@may(LEADS)
def find_gone(book: Book, who: Who) -> tuple[Job, ...]:
    """Find solving jobs of this machine whose process is gone, and note it.

    Whether a job of another machine still runs cannot be seen from here.

    Returns
    -------
    tuple of Job
        Those that were found.
    """
    running = _of(who.kitchen).where(
        jobs_table.c.ended.is_(None), jobs_table.c.host == this_host()
    )
    with book.reading() as connection:
        lost = [row for row in connection.execute(running) if not runs(row.process, row.mark)]
    if not lost:
        return ()
    with book.writing() as connection:
        held(connection, who.kitchen)
        again = running.where(jobs_table.c.id.in_([row.id for row in lost]))
        return tuple(
            _end(connection, _job(row), book.clock(), "gone", GONE, None)
            for row in connection.execute(again).all()
        )


@may(LEADS)
def jobs(book: Book, who: Who, week: str | None = None) -> tuple[Job, ...]:
    """See the solving jobs, running and ended."""
    asked = _of(who.kitchen)
    if week is not None:
        asked = asked.where(jobs_table.c.week == week)
    with book.reading() as connection:
        found = [_job(row) for row in connection.execute(asked)]
    return tuple(sorted(found, key=lambda j: (j.began, j.id)))


def _of(kitchen: str) -> Select[Any]:
    return select(jobs_table).where(jobs_table.c.kitchen == kitchen)


def _end(
    connection: Connection,
    one: Job,
    at: datetime,
    outcome: Outcome,
    word: str | None,
    number: int | None,
) -> Job:
    change = update(jobs_table).where(jobs_table.c.id == one.id)
    connection.execute(change.values(ended=at, outcome=outcome, word=word, number=number))
    return replace(one, ended=at, outcome=outcome, word=word, number=number)


def _job(row: Row[Any]) -> Job:
    return Job(**row._asdict())

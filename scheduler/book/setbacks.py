"""What has broken a plan: entered once, answered by a plan or taken back, never deleted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Row, select, update

from scheduler.book.arriving import Twice, doubtful, made_id, moment, plain
from scheduler.book.errors import BookError, NotThere
from scheduler.book.opening import Book
from scheduler.book.revisions import held
from scheduler.book.roles import EVERYBODY, LEADS, Who, may
from scheduler.book.tables import setbacks as setbacks_table
from scheduler.book.there import plan_row, week_there


@dataclass(frozen=True, slots=True)
class Setback:
    """Something that broke a plan.

    Attributes
    ----------
    id : str
        As its client made it.
    kitchen, week : str
    kind : str
        What it is, e.g. equipment-down.
    body : dict
        Plain data, as whoever plans around it reads it.
    who : str
    happened, arrived : datetime
        By its client's clock, and by the book's, in UTC.
    answered : int or None
        The plan that dealt with it.
    taken_back : datetime or None
        Entered by mistake; `taken_back_by` has said so.
    """

    id: str
    kitchen: str
    week: str
    kind: str
    body: dict[str, Any]
    who: str
    happened: datetime
    arrived: datetime
    answered: int | None
    taken_back: datetime | None
    taken_back_by: str | None

    @property
    def doubtful(self) -> bool:
        """It cannot have happened when its client says; the clock there is wrong."""
        return doubtful(self.happened, self.arrived)

    @property
    def open(self) -> bool:
        """Nobody has dealt with it."""
        return self.answered is None and self.taken_back is None


@may(LEADS)
def enter_setback(
    book: Book,
    who: Who,
    id: str,
    week: str,
    kind: str,
    body: Mapping[str, Any],
    happened: datetime,
) -> Setback:
    """Enter a setback.

    Sent twice it is entered once. Whether it makes sense is looked at by whoever plans
    around it, before it is entered.

    Parameters
    ----------
    id : str
        Made by the client, e.g. a UUID.
    kind : str
    body : mapping
        Plain data.
    happened : datetime
        Aware.

    Raises
    ------
    NotThere
        The book has no such week.
    Twice
        The id has been used for something else.
    BookError
    """
    if not 1 <= len(kind) <= 40:
        raise BookError(f"'{kind[:80]}' is no kind of setback: one to 40 letters.")
    happened = moment(happened)
    new = Setback(
        made_id(id), who.kitchen, week, kind, plain(body), who.person, happened, book.clock(),
        None, None, None,
    )  # fmt: skip
    with book.writing() as connection:
        week_there(connection, who.kitchen, week)
        held(connection, who.kitchen)
        found = connection.execute(select(setbacks_table).where(setbacks_table.c.id == id)).first()
        if found is None:
            values = {c.name: getattr(new, c.name) for c in setbacks_table.c}
            connection.execute(setbacks_table.insert(), values)
            return new
    there = _setback(found)
    entered = replace(
        there, arrived=new.arrived, answered=None, taken_back=None, taken_back_by=None
    )
    if entered != new:
        raise Twice(
            f"The id '{id}' has been used for another setback; enter it with a new one. Nothing "
            "was changed."
        )
    return there


@may(LEADS)
def answer(book: Book, who: Who, ids: Iterable[str], number: int) -> None:
    """Note which plan deals with setbacks.

    Raises
    ------
    NotThere
    BookError
        One was taken back, or another plan has dealt with it; nothing was changed.
    """
    with book.writing() as connection:
        held(connection, who.kitchen)
        week = plan_row(connection, who.kitchen, number).of_week
        for id in ids:
            found = connection.execute(_one(who.kitchen, week, id)).first()
            if found is None:
                raise NotThere(f"The book has no setback '{id}' in '{week}'.")
            if found.taken_back is not None:
                raise BookError(f"The setback '{id}' was taken back by {found.taken_back_by}.")
            if found.answered not in (None, number):
                raise BookError(f"Plan {found.answered} has dealt with the setback '{id}' already.")
            connection.execute(
                update(setbacks_table).where(setbacks_table.c.id == id).values(answered=number)
            )


@may(LEADS)
def take_back(book: Book, who: Who, week: str, id: str) -> Setback:
    """Take setbacks back that were entered by mistake.

    Raises
    ------
    NotThere
    """
    with book.writing() as connection:
        held(connection, who.kitchen)
        found = connection.execute(_one(who.kitchen, week, id)).first()
        if found is None:
            week_there(connection, who.kitchen, week)
            raise NotThere(f"The book has no setback '{id}' in '{week}'.")
        if found.taken_back is not None:
            return _setback(found)
        at = book.clock()
        connection.execute(
            update(setbacks_table)
            .where(setbacks_table.c.id == id)
            .values(taken_back=at, taken_back_by=who.person)
        )
    return replace(_setback(found), taken_back=at, taken_back_by=who.person)


@may(EVERYBODY)
def setbacks(book: Book, who: Who, week: str) -> tuple[Setback, ...]:
    """See the setbacks of a week, also those dealt with or taken back."""
    asked = select(setbacks_table).where(
        setbacks_table.c.kitchen == who.kitchen, setbacks_table.c.week == week
    )
    with book.reading() as connection:
        found = [_setback(row) for row in connection.execute(asked)]
    return tuple(sorted(found, key=lambda s: (s.happened, s.id)))


def _one(kitchen: str, week: str, id: str) -> Any:
    return select(setbacks_table).where(
        setbacks_table.c.kitchen == kitchen,
        setbacks_table.c.week == week,
        setbacks_table.c.id == id,
    )


def _setback(row: Row[Any]) -> Setback:
    return Setback(**row._asdict())

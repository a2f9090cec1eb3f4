"""Forms that somebody has begun to fill in and not saved: as typed, whatever is wrong in them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Row, and_, select
from sqlalchemy.exc import IntegrityError

from scheduler.book.arriving import read_back, shallow
from scheduler.book.errors import BookError, NotThere
from scheduler.book.opening import Book
from scheduler.book.revisions import known
from scheduler.book.roles import EVERYBODY, Who, may
from scheduler.book.tables import drafts as table

_MOST_LETTERS = 200
_LARGEST = 1024
"""KB: many times the longest recipe."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A form as somebody left it.

    Attributes
    ----------
    form : str
        Which form: "component cheeks", as the screens call it.
    body : plain data
        As typed, unchecked.
    base : int or None
        The revision it was begun from.
    at : datetime
        When it was kept last.
    """

    form: str
    body: Any
    base: int | None
    at: datetime


@may(EVERYBODY)
def keep_draft(
    book: Book, who: Who, form: str, body: Any, base: int | None = None
) -> Draft:
    """Keep what is typed in a form.

    It takes the place of what the same person has left in the same form.

    Parameters
    ----------
    form : str
    body : plain data
        Unchecked; what no database can keep (half a character, no number) is replaced.
    base : int, optional
        The revision that the form was begun from.

    Raises
    ------
    BookError
        If it is more than 1 MB, or nested more than 60 deep.
    """
    if not 1 <= len(form) <= _MOST_LETTERS:
        raise BookError(f"A form is called by 1 to {_MOST_LETTERS} letters, not {len(form)}.")
    what = f"What is typed in the form '{form}'"
    shallow(body, what)
    kept = Draft(form, read_back(_keepable(body), _LARGEST, what), base, book.clock())
    row = {"body": {"typed": kept.body}, "base": base, "at": kept.at}
    with book.writing() as connection:
        known(connection, who.kitchen, kept.at)
        change = table.update().where(_of(who, form)).values(row)
        if not connection.execute(change).rowcount:
            try:
                with connection.begin_nested():
                    new = {"kitchen": who.kitchen, "who": who.person, "form": form}
                    connection.execute(table.insert(), new | row)
            except IntegrityError:  # The same person in another tab, just now.
                connection.execute(change)
    return kept


@may(EVERYBODY)
def drafts(book: Book, who: Who) -> tuple[Draft, ...]:
    """List the forms that one has begun, by what they are called."""
    with book.reading() as connection:
        rows = connection.execute(select(table).where(_of(who)).order_by(table.c.form)).all()
    return tuple(_draft(row) for row in rows)


@may(EVERYBODY)
def draft(book: Book, who: Who, form: str) -> Draft:
    """Read what one has left in a form.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        row = connection.execute(select(table).where(_of(who, form))).first()
    if row is None:
        raise NotThere(f"{who.person} has left nothing in the form '{form}'.")
    return _draft(row)


@may(EVERYBODY)
def drop_draft(book: Book, who: Who, form: str) -> None:
    """Throw away what one has left in a form."""
    with book.writing() as connection:
        connection.execute(table.delete().where(_of(who, form)))


def _of(who: Who, form: str | None = None) -> ColumnElement[bool]:
    mine = and_(table.c.kitchen == who.kitchen, table.c.who == who.person)
    return mine if form is None else and_(mine, table.c.form == form)


def _draft(row: Row[Any]) -> Draft:
    return Draft(row.form, row.body.get("typed"), row.base, row.at)


def _keepable(value: Any) -> Any:
    """Plain data that any database can keep."""
    if isinstance(value, dict):
        return {_keepable(str(k)): _keepable(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [_keepable(v) for v in value]
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode("utf-8")
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    return value if value is None or isinstance(value, (bool, int)) else str(value)

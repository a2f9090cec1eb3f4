"""Which kitchens and weeks the book has."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, select

from scheduler.book.opening import Book
from scheduler.book.revisions import Revision, heads_of
from scheduler.book.roles import EVERYBODY, Who, may
from scheduler.book.tables import kitchens as kitchens_table
from scheduler.domain.times import read_moment


@dataclass(frozen=True, slots=True)
class KeptWeek:
    """A week of a kitchen.

    Attributes
    ----------
    starts, ends : datetime
        The kitchen's wall clock.
    number : int
        Its newest revision, and by whom and when it was saved.
    """

    id: str
    name: str
    starts: datetime
    ends: datetime
    number: int
    who: str
    at: datetime


@dataclass(frozen=True, slots=True)
class KeptKitchen:
    """A kitchen of the book, and since when it is in it."""

    id: str
    name: str
    since: datetime


@may(EVERYBODY)
def weeks(book: Book, who: Who) -> tuple[KeptWeek, ...]:
    """List the weeks of the kitchen, by when they start; without any that is damaged."""
    with book.reading() as connection:
        found = heads_of(connection, who.kitchen, ("week",))
    return weeks_of(found.values())


def weeks_of(documents: Iterable[Revision]) -> tuple[KeptWeek, ...]:
    """The weeks among documents, by when they start; none thrown out or damaged."""
    found = [
        KeptWeek(
            r.id, body.get("name") or r.id, read_moment(body["starts"]), read_moment(body["ends"]),
            r.number, r.who, r.at,
        )
        for r in documents
        if r.kind == "week" and (body := r.kept) is not None
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda w: (w.starts, w.id)))


@may(EVERYBODY)
def kitchens(book: Book, who: Who) -> tuple[KeptKitchen, ...]:
    """List the kitchens of the book."""
    with book.reading() as connection:
        return kitchens_there(connection)


def kitchens_there(connection: Connection) -> tuple[KeptKitchen, ...]:
    """Kitchens that have been saved, and not thrown out since.

    A draft of a new one, or what was once recorded, makes none.
    """
    known = connection.execute(select(kitchens_table)).all()
    found = [
        KeptKitchen(row.id, (head.kept or {}).get("name") or row.id, row.since)
        for row in known
        for head in heads_of(connection, row.id, ("kitchen",)).values()
        if not head.gone
    ]
    return tuple(sorted(found, key=lambda k: k.id))

"""Which kitchens and weeks the book has."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from scheduler.book.opening import Book
from scheduler.book.revisions import heads_of
from scheduler.book.roles import EVERYBODY, Who, may
from scheduler.book.tables import kitchens as kitchens_table
from scheduler.book.tables import revisions
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
    """List the weeks of the kitchen, by when they start."""
    with book.reading() as connection:
        found = heads_of(connection, who.kitchen, ("week",))
    listed = [
        KeptWeek(
            r.id, r.body.get("name") or r.id, read_moment(r.body["starts"]),
            read_moment(r.body["ends"]), r.number, r.who, r.at,
        )
        for r in found.values()
        if r.body is not None
    ]  # fmt: skip
    return tuple(sorted(listed, key=lambda w: (w.starts, w.id)))


@may(EVERYBODY)
def kitchens(book: Book, who: Who) -> tuple[KeptKitchen, ...]:
    """List the kitchens of the book."""
    newest = (
        select(revisions.c.kitchen, func.max(revisions.c.number).label("number"))
        .where(revisions.c.kind == "kitchen")
        .group_by(revisions.c.kitchen)
        .subquery()
    )
    asked = (
        select(revisions.c.kitchen, revisions.c.body, kitchens_table.c.since)
        .join(newest, revisions.c.kitchen == newest.c.kitchen)
        .join(kitchens_table, kitchens_table.c.id == revisions.c.kitchen)
        .where(revisions.c.kind == "kitchen", revisions.c.number == newest.c.number)
    )
    with book.reading() as connection:
        rows = [row for row in connection.execute(asked) if row.body is not None]
    found = [KeptKitchen(r.kitchen, r.body.get("name") or r.kitchen, r.since) for r in rows]
    return tuple(sorted(found, key=lambda k: k.id))

"""What there is in the book, on one short page."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import asdict, dataclass

from sqlalchemy import Connection, Table, func, select, text

from scheduler.book.listing import KeptWeek, kitchens_there, weeks_of
from scheduler.book.opening import Book
from scheduler.book.revisions import Revision, heads_of
from scheduler.book.roles import CHEF, Who, may
from scheduler.book.tables import SCHEMA, plans, record
from scheduler.book.there import hanging_now


@dataclass(frozen=True, slots=True)
class WeekThere(KeptWeek):
    """A week, and what has come of it.

    Attributes
    ----------
    plans : int
        Kept of it.
    up : int or None
        The plan on the wall.
    """

    plans: int
    up: int | None


@dataclass(frozen=True, slots=True)
class KitchenThere:
    """A kitchen.

    Attributes
    ----------
    recipes : int
        Components and dishes.
    recorded : int
        Entries in the record.
    last : Revision or None
        What was saved last, by the clock.
    weeks : tuple of WeekThere
        By when they start.
    damaged : tuple of Revision
        Documents that are not what was saved, in their newest revision.
    """

    id: str
    recipes: int
    recorded: int
    last: Revision | None
    weeks: tuple[WeekThere, ...]
    damaged: tuple[Revision, ...]


@dataclass(frozen=True, slots=True)
class Overview:
    """The whole book.

    Attributes
    ----------
    where, shape : str
    size : int or None
        Bytes, as far as that can be known.
    kitchens : tuple of KitchenThere
    """

    where: str
    shape: str
    size: int | None
    kitchens: tuple[KitchenThere, ...]


@may(CHEF)
def overview(book: Book, who: Who) -> Overview:
    """See what there is in the whole book."""
    with book.reading() as connection:
        there = overview_of(connection)
        size = None
        if not book.lite:
            ask = text("SELECT pg_database_size(current_database())")
            size = int(connection.execute(ask).scalar_one())
    return Overview(book.where, SCHEMA, size or _size(book), there)


def overview_of(connection: Connection) -> tuple[KitchenThere, ...]:
    """What there is in each kitchen."""
    return tuple(_kitchen(connection, one.id) for one in kitchens_there(connection))


def _size(book: Book) -> int | None:
    if book.file is None:
        return None
    size = 0
    for end in ("", "-wal"):
        with suppress(OSError):
            size += os.stat(f"{book.file}{end}").st_size
    return size


def _kitchen(connection: Connection, kitchen: str) -> KitchenThere:
    def counted(table: Table) -> dict[str, int]:
        ask = select(table.c.week, func.count()).where(table.c.kitchen == kitchen)
        return {row[0]: row[1] for row in connection.execute(ask.group_by(table.c.week))}

    found = heads_of(connection, kitchen)
    walls = hanging_now(connection, kitchen)
    made, recorded = counted(plans), counted(record)
    weeks = [
        WeekThere(
            **asdict(one),
            plans=made.get(one.id, 0),
            up=walls[one.id].number if one.id in walls else None,
        )
        for one in weeks_of(found.values())
    ]
    return KitchenThere(
        kitchen,
        sum(r.kind in ("component", "dish") and not r.gone for r in found.values()),
        sum(recorded.values()),
        max(found.values(), key=lambda r: (r.at, r.number, r.key), default=None),
        tuple(weeks),
        tuple(r for r in found.values() if r.damaged),
    )

"""Numbers given one after the other, without gaps, to whoever asks; whoever asks is alone."""

from __future__ import annotations

from typing import Literal

from sqlalchemy import Connection, update
from sqlalchemy.exc import IntegrityError

from scheduler.book.errors import NotThere
from scheduler.book.tables import counters

Name = Literal["plan", "record"]


def held(connection: Connection, kitchen: str, name: Name) -> int:
    """The last number given; nobody else is given one until the transaction ends.

    The row is locked by writing it, so that whoever waited then reads what was written meanwhile.

    Raises
    ------
    NotThere
        The book has no such kitchen.
    """
    return _written(connection, kitchen, name, 0)


def next_number(connection: Connection, kitchen: str, name: Name) -> int:
    """The next number; given back where the transaction comes to nothing."""
    return _written(connection, kitchen, name, 1)


def _written(connection: Connection, kitchen: str, name: Name, more: int) -> int:
    count = (
        update(counters)
        .where(counters.c.kitchen == kitchen, counters.c.name == name)
        .values(last=counters.c.last + more)
        .returning(counters.c.last)
    )
    found = connection.execute(count).scalar()
    if found is None:
        try:
            with connection.begin_nested():
                first = {"kitchen": kitchen, "name": name, "last": 0}
                connection.execute(counters.insert(), first)
        except IntegrityError:
            pass  # Somebody else has just begun to count, or there is no such kitchen.
        found = connection.execute(count).scalar()
    if found is None:
        raise NotThere(f"The book has no kitchen '{kitchen}'.")
    return int(found)

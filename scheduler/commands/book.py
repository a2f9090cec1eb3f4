"""The book as commands find it, and who somebody at the command line is to it."""

from __future__ import annotations

import getpass
from collections.abc import Iterator
from contextlib import contextmanager

from scheduler.book.errors import NotThere
from scheduler.book.opening import Book, open_book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.tables import kitchens
from scheduler.domain.problems import nearest, one_of


@contextmanager
def the_book() -> Iterator[Book]:
    """The book of `BACKTIME_DB`, or the usual one; closed at the end."""
    book = open_book()
    try:
        yield book
    finally:
        book.close()


def the_chef(kitchen: str) -> Who:
    """Whoever can run commands here can read and write the book itself: they are its chef."""
    return Who(kitchen, me(), Role.CHEF)


def me() -> str:
    """How somebody is called who has not signed in: by their login name."""
    try:
        return getpass.getuser()
    except (ImportError, KeyError, OSError):
        return "somebody here"


def the_kitchen(book: Book, named: str | None) -> str:
    """The kitchen that is meant: the one that is named, or the only one there is.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        known = [row.id for row in connection.execute(kitchens.select().order_by(kitchens.c.id))]
    if not known:
        raise NotThere(f"There is nothing in the book {book.where} yet: `backtime import FOLDER`.")
    if named is None and len(known) == 1:
        return str(known[0])
    if named is None:
        raise NotThere(f"The book has several kitchens; say which: --kitchen {' | '.join(known)}.")
    if named not in known:
        meant = nearest(named, known)
        maybe = f"Maybe '{meant}'" if meant else f"There are {one_of(known)}"
        raise NotThere(f"The book has no kitchen '{named}'. {maybe}.")
    return named

"""The book as commands find it, and who somebody at the command line is to it."""

from __future__ import annotations

import getpass
from collections.abc import Iterator
from contextlib import contextmanager

from scheduler.book.documents import Kind, heads, kitchens
from scheduler.book.errors import NotThere
from scheduler.book.opening import Book, is_there, open_book
from scheduler.book.place import WHERE, shown, url_of
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.tables import kitchens as kitchens_table
from scheduler.domain.problems import nearest, one_of

_WEEKS: tuple[Kind, ...] = ("week",)


@contextmanager
def the_book(*, begin: bool = False) -> Iterator[Book]:
    """The book of `BACKTIME_DB`, or the usual one; closed at the end.

    Parameters
    ----------
    begin : bool
        Make one where there is none.

    Raises
    ------
    NotThere
        Where there is none.
    """
    if not begin and not is_there():
        raise NotThere(no_book())
    book = open_book()
    try:
        yield book
    finally:
        book.close()


def no_book() -> str:
    """That there is none, where it would be, and how it begins."""
    return (
        f"There is no book yet. It begins with the first `backtime import FOLDER`, and will be in "
        f"{shown(url_of())} ({WHERE} names another place)."
    )


def the_chef(kitchen: str) -> Who:
    """Whoever can run commands here can read and write the book itself: they are its chef."""
    return Who(kitchen, me(), Role.CHEF)


def me() -> str:
    """How somebody is called who has not signed in: by their login name."""
    try:
        return getpass.getuser().encode("utf-8", "replace").decode()[:120]
    except (ImportError, KeyError, OSError):
        return "somebody here"


def the_week(book: Book, week: str, kitchen: str | None) -> Who:
    """The chef of the kitchen that has a week of this name.

    Raises
    ------
    NotThere
        Where none has, or several have and none is named.
    """
    if kitchen is not None:
        return the_chef(the_kitchen(book, kitchen))
    chefs = [the_chef(one.id) for one in kitchens(book, the_chef(""))]
    known = {chef.kitchen: [w.id for w in heads(book, chef, _WEEKS)] for chef in chefs}
    having = [k for k, there in known.items() if week in there]
    if len(having) > 1:
        raise NotThere(
            f"Several kitchens have a week '{week}'; say which: {' or '.join(having)} "
            f"(--kitchen {having[0]}, or stored:{having[0]}/{week})."
        )
    if having:
        return the_chef(having[0])
    there = sorted({w for one in known.values() for w in one})
    meant = nearest(week, there)
    others = f"There are {one_of(there)}" if there else "It has none"
    maybe = f"Maybe '{meant}'" if meant else others
    raise NotThere(f"The book has no week '{week}'. {maybe}.")


def the_kitchen(book: Book, named: str | None) -> str:
    """The kitchen that is meant: the one that is named, or the only one there is.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        rows = connection.execute(kitchens_table.select().order_by(kitchens_table.c.id))
        known = [row.id for row in rows]
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

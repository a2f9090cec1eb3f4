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
from scheduler.book.telling import no_such

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


def the_week(
    book: Book, week: str, kitchen: str | None, *, thrown_out: bool = False
) -> Who:
    """The chef of the kitchen that has a week of this name.

    Parameters
    ----------
    kitchen : str or None
        The one that is named; left out: whichever has the week.
    thrown_out : bool
        Also a week that was thrown out: its record and its plans are still there.

    Raises
    ------
    NotThere
        Where none has, or several have and none is named.
    """
    if kitchen is None:
        named = [one.id for one in kitchens(book, the_chef(""))]
    else:
        named = [the_kitchen(book, kitchen)]
    known = {k: [w.id for w in heads(book, the_chef(k), _WEEKS, thrown_out)] for k in named}
    having = [k for k, there in known.items() if week in there]
    if len(having) > 1:
        raise NotThere(
            f"Several kitchens have a week '{week}'; say which: {' or '.join(having)} "
            f"(--kitchen {having[0]}, or stored:{having[0]}/{week})."
        )
    if having:
        return the_chef(having[0])
    raise NotThere(no_such("week", week, [w for one in known.values() for w in one]))


def the_kitchen(book: Book, named: str | None) -> str:
    """The kitchen that is meant: the one that is named, or the only one there is.

    Raises
    ------
    NotThere
    """
    known = [one.id for one in kitchens(book, the_chef(""))]
    if not known:
        raise NotThere(f"There is no kitchen in the book {book.where}: `backtime import FOLDER`.")
    if named is None and len(known) == 1:
        return known[0]
    if named is None:
        raise NotThere(f"The book has several kitchens; say which: --kitchen {' | '.join(known)}.")
    if named not in known:
        raise NotThere(no_such("kitchen", named, known))
    return named

"""What a database says when it cannot, as a sentence for people."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError, StatementError

from scheduler.book.errors import BookError, Busy

_SAID = (
    # What the database says, and what that means to somebody in a kitchen.
    ("database is locked", "somebody else has been writing in it for too long; try again"),
    ("lock timeout", "somebody else has been writing in it for too long; try again"),
    ("deadlock detected", "somebody else was writing the same at the same time; try again"),
    ("could not serialize", "somebody else was writing the same at the same time; try again"),
    ("disk is full", "the disk is full; make room, nothing of this was saved"),
    ("no space left", "the disk is full; make room, nothing of this was saved"),
    ("disk i/o error", "its disk does not work as it should, or is full"),
    ("readonly database", "it may only be read, not written"),
    ("read-only", "it may only be read, not written"),
    ("unable to open database file", "its file cannot be opened, or its folder not written"),
    ("malformed", "the file is damaged; it was left as it is. Restore the last backup"),
    ("file is not a database", "the file is damaged or no book; it was left as it is"),
    ("permission denied", "its user may not do that there; make them the owner of the database"),
    ('relation "', "a table is missing in it; restore the last backup into a new one"),
    ("invalid connection option", "its address has an option that there is not"),
    ("could not decode", "the file is damaged; it was left as it is. Restore the last backup"),
    ("password authentication failed", "the user or the password is wrong"),
    ("does not exist", "there is no such database or user"),
    ("connection refused", "no database answers there"),
    ("could not translate host name", "there is no such host"),
    ("timeout expired", "no database answers there"),
    ("connection timeout", "no database answers there"),
    ("server closed the connection", "the database has gone away"),
    ("terminating connection", "the database has gone away"),
)
_BUSY = ("too long", "same time")


@contextmanager
def said(where: str) -> Iterator[None]:
    """Turn what a database says inside into a `BookError`; a broken key stays as it is."""
    try:
        yield
    except IntegrityError:
        raise
    except UnicodeDecodeError:
        means = "the file is damaged; it was left as it is. Restore the last backup"
        raise BookError(f"The book {where}: {means}.") from None
    except StatementError as error:
        if isinstance(error.orig, BookError):  # what `columns` refuses
            raise error.orig from None
        if not isinstance(error, DBAPIError):
            raise
        told = str(error.orig).lower()
        known = next((means for word, means in _SAID if word in told), None)
        if known is None and not isinstance(error, OperationalError):
            raise
        means = known or str(error.orig).strip().partition("\n")[0]
        kind = Busy if any(word in means for word in _BUSY) else BookError
        raise kind(f"The book {where}: {means}.") from None

"""Where the book is: the user's data folder, or where `BACKTIME_DB` says."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs
from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from scheduler.book.errors import BookError

WHERE = "BACKTIME_DB"
FILE = "book.sqlite"


def usual() -> Path:
    """The file of a user who has said nothing."""
    return Path(platformdirs.user_data_path("backtime", appauthor=False)) / FILE


def url_of(where: str | None = None) -> URL:
    """The address of a book.

    Parameters
    ----------
    where : str, optional
        A path, or the URL of a database; left out: `BACKTIME_DB`, or the usual file.

    Raises
    ------
    BookError
        For a URL that is none, or of a database that the book is not kept in.
    """
    said = where if where is not None else os.environ.get(WHERE)
    if said is None or not said.strip():
        return _file(usual())
    if "://" not in said:
        return _file(Path(said).expanduser())
    try:
        url = make_url(said)
    except (ArgumentError, ValueError):
        raise BookError(
            f"This is no address of a database: {_hidden(said)}. Maybe "
            "postgresql://user@host/backtime, or the path of a file."
        ) from None
    kind = url.get_backend_name()
    if kind == "sqlite":
        if url.database in (None, "", ":memory:"):
            raise BookError(
                f"'{_hidden(said)}' names no file, and a book that is only in memory would be gone "
                f"with the program. Name one, for example {WHERE}=sqlite:///{FILE}, or just its "
                "path."
            )
        return _file(Path(str(url.database)))
    if kind in ("postgresql", "postgres"):
        return url.set(drivername="postgresql+psycopg")
    raise BookError(
        f"The book is kept in an SQLite file or in PostgreSQL, not in '{kind}' ({WHERE})."
    )


def shown(url: URL) -> str:
    """The address as it may be shown: a path, or a URL without its password."""
    if url.get_backend_name() == "sqlite":
        return str(url.database)
    # What stands behind "?" may be a password as well.
    return url.set(drivername="postgresql", query={}).render_as_string(hide_password=True)


def _file(path: Path) -> URL:
    return URL.create("sqlite", database=str(Path(os.path.abspath(path))))


def _hidden(said: str) -> str:
    """Without what may be a password."""
    scheme, _, rest = said.partition("?")[0].partition("://")
    return f"{scheme}://{'…@' if '@' in rest else ''}{rest.rpartition('@')[2]}"

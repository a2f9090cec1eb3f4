"""Opening the book: made on first use, brought up to date, refused where it is not ours."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect
from sqlalchemy.pool import NullPool

from scheduler.book.errors import BookError
from scheduler.book.failing import said
from scheduler.book.place import FILE, shown, url_of, usual

WAITS = 10
"""Seconds somebody waits for another who is writing."""
MARK = 0x42544B31
"""In the header of an SQLite file of ours (`application_id`)."""
_SHARED = 32_768
"""Bytes of the smallest `-shm` file (https://sqlite.org/walformat.html)."""
_MAGIC = b"SQLite format 3\x00"


def wall_clock() -> datetime:
    """The moment, in UTC. The only place in the book that looks at a clock."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Book:
    """An open book.

    Attributes
    ----------
    engine : Engine
    clock : callable
        Gives the moment; tests give another.
    """

    engine: Engine
    clock: Callable[[], datetime] = field(default=wall_clock)

    @property
    def where(self) -> str:
        """Its address, as it may be shown."""
        return shown(self.engine.url)

    @property
    def file(self) -> Path | None:
        """Its file, or nothing for a database of a server."""
        return Path(str(self.engine.url.database)) if self.lite else None

    @property
    def lite(self) -> bool:
        """Is it an SQLite file?"""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Everything read inside is of one moment."""
        with said(self.where), self.engine.connect() as connection:
            if not self.lite:
                connection.execution_options(isolation_level="REPEATABLE READ")
            with connection.begin():
                yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """All of what is written inside, or nothing of it; one at a time on SQLite."""
        with said(self.where), self.engine.connect() as connection:
            connection.execution_options(backtime_writing=True)
            with connection.begin():
                yield connection

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


def open_book(where: str | None = None, clock: Callable[[], datetime] = wall_clock) -> Book:
    """Open a book; make it where there is none, bring it up to date where it is older.

    Parameters
    ----------
    where : str, optional
        A path or a URL; left out: where `BACKTIME_DB` says, or the user's data folder.

    Raises
    ------
    BookError
        One sentence where it is no book, newer than this code, damaged, in use for too long,
        or may not be written. What is there is left as it is.
    """
    from scheduler.book.migrate import migrate

    book = unmade(where, clock)
    try:
        migrate(book)
        if book.lite:
            _read_while_written(book)
    except BaseException:
        book.close()
        raise
    return book


def _read_while_written(book: Book) -> None:
    """A write-ahead log; only now that the file is known to be ours, because it stays so."""
    with said(book.where), book.engine.connect() as connection:
        ask = connection.connection.driver_connection
        assert isinstance(ask, sqlite3.Connection)
        if ask.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
            ask.execute("PRAGMA journal_mode = WAL").close()


def is_there(where: str | None = None) -> bool:
    """Has a book been begun there? Nothing is made by asking.

    Raises
    ------
    BookError
        Where it is no book, or cannot be reached.
    """
    url = url_of(where)
    if url.get_backend_name() == "sqlite":
        path = Path(str(url.database))
        try:
            return path.is_dir() or (path.exists() and path.stat().st_size > 0)
        except (OSError, ValueError) as error:
            why = (getattr(error, "strerror", None) or str(error)).lower()
            raise BookError(f"The book '{path}' cannot be opened: {why}.") from None
    book = Book(engine_of(url))
    try:
        with book.reading() as connection:
            return bool(inspect(connection).get_table_names())
    finally:
        book.close()


def unmade(where: str | None = None, clock: Callable[[], datetime] = wall_clock) -> Book:
    """A book that may not be there yet, or be older: for making one, not for using it.

    Raises
    ------
    BookError
        Where it is no book.
    """
    url = url_of(where)
    if url.get_backend_name() == "sqlite":
        look_at(Path(str(url.database)))
    return Book(engine_of(url), clock)


def look_at(path: Path) -> None:
    """Refuse a file that is no book, before anything is opened; make the usual folder."""
    try:
        if path.is_dir():
            raise BookError(f"'{path}' is a folder; the book is a file in it, e.g. {FILE}.")
        if not path.parent.is_dir():
            if path != usual():
                raise BookError(f"There is no folder '{path.parent}' for the book to be in.")
            path.parent.mkdir(parents=True, mode=0o700)
        if path.exists():
            with open(path, "rb") as file:
                head = file.read(100)
            mark = int.from_bytes(head[68:72], "big")
            if head and (head[:16] != _MAGIC or mark not in (MARK, 0)):
                raise BookError(f"'{path}' is no book of Backtime; it was left as it is.")
        if not os.access(path if path.exists() else path.parent, os.W_OK):
            raise BookError(f"The book {path}: it may only be read, not written.")
        if not os.access(path.parent, os.W_OK):
            raise BookError(
                f"The book {path}: its folder may only be read, not written, and what is being "
                "saved needs room beside it."
            )
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        raise BookError(f"The book '{path}' cannot be opened: {why}.") from None


def engine_of(url: URL, *, foreign_keys: bool = True) -> Engine:
    """How the book talks to its database."""
    if url.get_backend_name() != "sqlite":
        if find_spec("psycopg") is None:
            raise BookError(
                'A book in PostgreSQL takes an extra: python -m pip install "backtime[postgres]".'
            )
        asked = {"connect_timeout": WAITS, "options": f"-c lock_timeout={int(WAITS * 1000)}"}
        return create_engine(url, pool_pre_ping=True, connect_args=asked)
    # Transactions are begun by us, so that one that writes waits its turn from its first word
    # and never finds half-way that somebody else was quicker; changes of tables are in them too.
    engine = create_engine(
        url, poolclass=NullPool, connect_args={"timeout": WAITS, "isolation_level": None}
    )

    @event.listens_for(engine, "do_connect")
    def _connecting(*_: Any) -> None:
        begun(Path(str(url.database)))

    @event.listens_for(engine, "connect")
    def _connected(connection: sqlite3.Connection, _: Any) -> None:
        for pragma in (
            # Without the memory that is shared in a file; whoever asks then has the book alone.
            # https://sqlite.org/wal.html#use_of_wal_without_shared_memory
            *(["locking_mode = EXCLUSIVE"] if _no_room(Path(str(url.database))) else []),
            f"busy_timeout = {int(WAITS * 1000)}",
            "synchronous = FULL",
            f"foreign_keys = {'ON' if foreign_keys else 'OFF'}",
        ):
            connection.execute(f"PRAGMA {pragma}").close()

    @event.listens_for(engine, "begin")
    def _begun(connection: Connection) -> None:
        writing = connection.get_execution_options().get("backtime_writing")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine


def _no_room(path: Path) -> bool:
    """Is the disk so full that a book could not even be read as several do it?"""
    try:
        shared = os.stat(f"{path}-shm").st_size
    except OSError:
        shared = 0
    with suppress(OSError):
        return shutil.disk_usage(path.parent).free < _SHARED - shared
    return False


def begun(path: Path) -> None:
    """Make an empty file that only its owner may read, where there is none.

    SQLite gives what it writes beside a file (`-wal`, `-shm`) the rights of that file.
    """
    with suppress(OSError):  # what is wrong with it, SQLite says
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))


def only_ours(path: Path) -> None:
    """On systems that know such things: only its owner may read a file."""
    if os.name == "posix":
        os.chmod(path, 0o600)

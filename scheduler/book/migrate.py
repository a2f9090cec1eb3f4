"""Bringing a book up to date, in one transaction, after a copy that has been opened."""

from __future__ import annotations

import filecmp
import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, inspect, text

from scheduler.book.columns import written
from scheduler.book.errors import BookError
from scheduler.book.failing import said
from scheduler.book.opening import MARK, Book, begun, engine_of, only_ours
from scheduler.book.tables import SCHEMA

if TYPE_CHECKING:
    from alembic.config import Config

_SCRIPTS = Path(__file__).resolve().parent / "migrations"
VERSIONS: tuple[Path, ...] = (_SCRIPTS / "versions",)
"""Folders of migrations."""
_LOCK = 0x42544B31
"""PostgreSQL: whoever brings a book up to date holds this until the end of the transaction."""


def migrate(book: Book) -> None:
    """Bring a book to the shape that this code reads.

    The whole way from the older shape to this one is one transaction that
    nobody else can begin meanwhile, so it is the lock as well: whoever comes
    second finds nothing left to do. Before it a file is copied beside itself.

    Raises
    ------
    BookError
        If the book is newer than this code, no book at all, or damaged.
    """
    with book.reading() as connection:
        found = version(connection, book.where)
        if book.lite and found is not None:
            whole(connection, book.where)
    if found == SCHEMA:
        return
    engine = engine_of(book.engine.url, foreign_keys=False)
    try:
        with said(book.where), engine.connect() as connection:
            connection.execution_options(backtime_writing=True)
            with connection.begin():
                alone(connection)
                found = version(connection, book.where)
                if found == SCHEMA:
                    return
                if book.file is not None and found is not None:
                    copied(book.file, found, written(book.clock()))
                upgrade(connection)
                if not sealed(connection):
                    raise BookError(
                        f"The book {book.where} could not be brought up to date: what belongs "
                        "together in it would not any more. It was left as it is."
                    )
        if book.file is not None:
            only_ours(book.file)
    finally:
        engine.dispose()


def version(connection: Connection, where: str) -> str | None:
    """The shape that a book has; None for an empty one.

    Raises
    ------
    BookError
        If it is newer, or there are tables and none of them says.
    """
    tables = set(inspect(connection).get_table_names())
    if not tables:
        return None
    found = None
    if "alembic_version" in tables:
        found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if found is None:
        raise BookError(f"{where} is a database, but no book of Backtime; it was left as it is.")
    if found > SCHEMA:
        raise BookError(
            f"The book {where} was written by a newer Backtime (shape {found}; this one knows "
            f"up to {SCHEMA}); it was left as it is."
        )
    if found < SCHEMA and found not in shapes():
        raise BookError(
            f"The book {where} has a shape that no Backtime has had ({found}); it was left as is."
        )
    return str(found)


def alone(connection: Connection) -> None:
    """Wait until nobody else brings this database up to date; on SQLite that is so already."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:n)"), {"n": _LOCK})


def sealed(connection: Connection) -> bool:
    """Mark a file as ours, and say whether everything in it that belongs together does.

    A server looks at every row as it comes; SQLite was told not to.
    """
    if connection.dialect.name != "sqlite":
        return True
    connection.exec_driver_sql(f"PRAGMA application_id = {MARK}")
    return connection.exec_driver_sql("PRAGMA foreign_key_check").first() is None


def upgrade(connection: Connection, to: str | None = None) -> None:
    """Run the migrations that are missing, inside the transaction of a connection.

    Parameters
    ----------
    to : str, optional
        The shape to stop at; left out: the newest.
    """
    from alembic import command

    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, to or SCHEMA)


def shapes() -> tuple[str, ...]:
    """Every shape that there has been, the newest first."""
    from alembic.script import ScriptDirectory

    scripts = ScriptDirectory.from_config(_config())
    return tuple(script.revision for script in scripts.walk_revisions())


def _config() -> Config:
    from alembic.config import Config

    config = Config()
    for name, paths in (("script_location", (_SCRIPTS,)), ("version_locations", VERSIONS)):
        config.set_main_option(name, "\n".join(map(str, paths)).replace("%", "%%"))
    config.set_main_option("path_separator", "newline")
    return config


def whole(connection: Connection, where: str) -> None:
    """Refuse a damaged file before anything is written into it."""
    first = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar()
    if first != "ok":
        raise BookError(
            f"The book {where}: the file is damaged ({first}); it was left as it is. "
            "Restore the last backup."
        )


def copied(file: Path, shape: str, moment: str) -> None:
    """Copy a book beside itself with SQLite's own backup, and open the copy to prove it.

    Where an earlier copy of that shape is the same to the byte, no other is kept: whoever starts
    again and again what fails does not fill the disk with it.

    Raises
    ------
    BookError
        If it cannot be written, or is not what it should be; then there is none.
    """
    target = file.with_name(f"{file.stem}.{shape}.{moment[:19].replace(':', '')}{file.suffix}")
    part = target.with_name(target.name + ".part")
    try:
        begun(part)
        with closing(sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)) as source:
            with closing(sqlite3.connect(part)) as copy:
                source.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE").close()  # one file, whole by itself
            with closing(sqlite3.connect(f"{part.as_uri()}?mode=ro", uri=True)) as copy:
                same = _what_is_in(copy) == _what_is_in(source)
                sound = copy.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok"
        if not (same and sound):
            raise sqlite3.DatabaseError("the copy is not what was copied")
        only_ours(part)
        with open(part, "rb") as file_:
            os.fsync(file_.fileno())
        if any(filecmp.cmp(part, one, shallow=False) for one in _copies(file, shape)):
            part.unlink()
        else:
            os.replace(part, target)
    except (OSError, sqlite3.Error) as error:
        with suppress(OSError):
            part.unlink()
        raise BookError(
            f"The book {file} is older and must be copied before it is brought up to date, but "
            f"no copy could be made ({str(error).lower()}); it was left as it is."
        ) from None


def _copies(file: Path, shape: str) -> list[Path]:
    """The copies that there are of a book in a shape."""
    start, end = f"{file.stem}.{shape}.", file.suffix
    names = [n for n in os.listdir(file.parent) if n.startswith(start) and n.endswith(end)]
    return [file.with_name(n) for n in sorted(names) if not n.endswith(".part")]


def _what_is_in(connection: sqlite3.Connection) -> list[tuple[str, int]]:
    names = [
        row[0]
        for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        if not row[0].startswith("sqlite_")
    ]
    return [
        (name, connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0])
        for name in sorted(names)
    ]

"""Restoring a backup into a book that is empty, of whichever database."""

from __future__ import annotations

import zipfile
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Boolean, Connection, column, func, inspect, select, table
from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError, StatementError

from scheduler.book.archive import Damaged, Kind, Listed, Manifest, checked, opened, rows_of
from scheduler.book.backup import kind_of
from scheduler.book.columns import Document, Long, Moment, Triples, Whole
from scheduler.book.errors import BookError
from scheduler.book.failing import said
from scheduler.book.migrate import alone, sealed, shapes, upgrade, version
from scheduler.book.opening import Book, engine_of, only_ours
from scheduler.book.overview import overview_of
from scheduler.book.roles import CHEF, Who, may
from scheduler.book.tables import metadata, sign_ins

_TYPES: dict[Kind, Any] = {
    "text": Long(), "number": Whole(), "flag": Boolean(), "moment": Moment(),
    "document": Document(), "triples": Triples(),
}  # fmt: skip
_MOST_ROWS = 1000
_MOST_BYTES = 4_000_000
"""What is handed to the database at once, roughly."""


@may(CHEF)
def restore(book: Book, who: Who, file: Path) -> Manifest:
    """Restore a backup into an empty book.

    The zip is read from end to end before anything is touched; what is written then is
    one transaction, from making the tables as they were to bringing them up to date.

    Parameters
    ----------
    book : Book
        One that has no rows, or no tables either (`opening.unmade`).

    Raises
    ------
    BookError
        If the backup is none, damaged or newer than this code, or the book has something in it.
    """
    manifest = checked(file)
    newest, *_ = known = shapes()
    if manifest.shape > newest:
        raise Damaged(
            file,
            f"was made by a newer Backtime (shape {manifest.shape}; this one knows up to {newest})",
        )
    if manifest.shape not in known:
        raise Damaged(file, f"has a shape that no Backtime has had ({manifest.shape})")
    # As for bringing a book up to date: what belongs together is looked at in the end.
    engine = engine_of(book.engine.url, foreign_keys=False)
    try:
        with said(book.where), engine.connect() as connection:
            connection.execution_options(backtime_writing=True)
            with connection.begin(), opened(file) as (manifest, archive):
                alone(connection)
                _emptied(connection, book.where, manifest.shape)
                upgrade(connection, manifest.shape)
                _same_tables(connection, file, manifest)
                for listed in manifest.tables:
                    _fill(connection, file, archive, listed)
                upgrade(connection)
                # Who was signed in then may have been sent away since.
                _signed_out(connection, book.clock())
                if not sealed(connection):
                    raise Damaged(file, "has rows that belong to others that are not in it")
                _read_again(connection, file)
    finally:
        engine.dispose()
    if book.file is not None:
        only_ours(book.file)
    return manifest


def _read_again(connection: Connection, file: Path) -> None:
    """Read what the first page of the book would show."""
    why = "has kitchens or weeks in it that no Backtime has written"
    try:
        overview_of(connection)
    except StatementError as error:
        if not isinstance(error.orig, BookError):
            raise
        raise Damaged(file, why) from None  # an id that `columns` refuses to ask for
    except (BookError, LookupError, TypeError, ValueError, AttributeError):
        raise Damaged(file, why) from None


def _signed_out(connection: Connection, now: datetime) -> None:
    """End every sign-in; a code that was withdrawn since the backup is for the chef to look at."""
    running = sign_ins.c.revoked.is_(None)
    connection.execute(sign_ins.update().where(running).values(revoked=now))


def _emptied(connection: Connection, where: str, shape: str) -> None:
    """Refuse a book with anything in it; take away the tables of one that has nothing in them."""
    found = version(connection, where)
    if found is None:
        return
    names = [n for n in inspect(connection).get_table_names() if n != "alembic_version"]
    full = [n for n in sorted(names) if _has_rows(connection, n)]
    if full:
        raise BookError(
            f"The book {where} is not empty (it has rows in {', '.join(full)}), and stays as it "
            "is. A backup is restored into a new book: name another place with BACKTIME_DB."
        )
    if found != shape:
        for name in reversed([t.name for t in metadata.sorted_tables if t.name in names]):
            connection.exec_driver_sql(f'DROP TABLE "{name}"')
        for name in set(names) - metadata.tables.keys():
            connection.exec_driver_sql(f'DROP TABLE "{name}"')
        connection.exec_driver_sql("DROP TABLE alembic_version")
        if connection.dialect.name == "postgresql":
            connection.exec_driver_sql("DROP FUNCTION IF EXISTS record_guard()")


def _has_rows(connection: Connection, name: str) -> bool:
    some = select(func.count()).select_from(select(1).select_from(table(name)).limit(1).subquery())
    return bool(connection.execute(some).scalar())


def _same_tables(connection: Connection, file: Path, manifest: Manifest) -> None:
    """Are its tables, column by column, those of the shape that it says it has?"""
    look = inspect(connection)
    there = {
        name: {c["name"] for c in look.get_columns(name)}
        for name in look.get_table_names()
        if name != "alembic_version"
    }
    secret = {t.name for t in metadata.tables.values() if t.info.get("secret")}
    listed = {t.name: set(t.columns) for t in manifest.tables}
    expected = {n: c for n, c in there.items() if manifest.secrets or n not in secret}
    kinds_fit = all(
        t.columns.get(c.name, kind_of(c)) == kind_of(c)
        for t in manifest.tables
        if t.name in metadata.tables
        for c in metadata.tables[t.name].columns
    )
    if listed != expected or not kinds_fit:
        raise Damaged(file, f"is damaged: its tables are not those of shape {manifest.shape}")


def _fill(connection: Connection, file: Path, archive: zipfile.ZipFile, listed: Listed) -> None:
    """Write the rows of a table, some at a time."""
    into = table(listed.name, *(column(n, _TYPES[k]) for n, k in listed.columns.items())).insert()
    many = max(1, min(_MOST_ROWS, _MOST_BYTES * listed.rows // max(1, listed.bytes)))
    some: list[dict[str, Any]] = []
    try:
        for row in rows_of(file, archive, listed, []):
            some.append(row)
            if len(some) >= many:
                connection.execute(into, some)
                some = []
        if some:
            connection.execute(into, some)
    except OperationalError:
        raise
    except IntegrityError as error:
        raise Damaged(
            file, f"has rows of '{listed.name}' that cannot be ({_told(error)})"
        ) from None
    except DBAPIError as error:
        raise Damaged(
            file, f"has rows of '{listed.name}' that this database does not take ({_told(error)})"
        ) from None
    except StatementError as error:  # what `columns` refuses
        raise Damaged(
            file, f"has rows of '{listed.name}' that cannot be ({_told(error)})"
        ) from None


def _told(error: StatementError) -> str:
    return str(error.orig).strip().partition("\n")[0].rstrip(".").lower()

"""Backing up the whole book into one file, and restoring it from there."""

from __future__ import annotations

import os
import secrets
import zipfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from sqlalchemy import Boolean, Column, Connection, String, Table, collate, select

from scheduler.book.archive import (
    MOST_DAMAGED,
    Kind,
    Listed,
    Manifest,
    add_manifest,
    add_table,
    checked,
    plain_data,
)
from scheduler.book.columns import Document, Moment, Triples, Whole, written
from scheduler.book.errors import BookError
from scheduler.book.opening import Book
from scheduler.book.proof import as_it_lies, damaged_row
from scheduler.book.roles import CHEF, Who, may
from scheduler.book.tables import SCHEMA, metadata, record, revisions

_AT_ONCE = 100
"""Rows that are in memory together."""


def secret(table: Table) -> bool:
    """Does it hold what somebody signs in with?"""
    return bool(table.info.get("secret"))


@may(CHEF)
def backup(book: Book, who: Who, file: Path, *, with_secrets: bool = False) -> Manifest:
    """Back up the whole book, with every kitchen in it.

    Parameters
    ----------
    file : Path
        A new file. It is there when all of it is written, and has been read again from
        end to end; until then there is none.
    with_secrets : bool
        With codes and sign-ins. Whoever has the file can try codes at leisure.

    Returns
    -------
    Manifest
        What is damaged in the book is in the file as it is, and named in `damaged`: old
        revisions cannot be mended, and everything else must be backed up all the same.

    Raises
    ------
    BookError
        If there is something of that name, or it cannot be written.
    """
    part = file.with_name(f".{file.name[:80]}.{secrets.token_hex(4)}.part")
    try:
        if os.path.lexists(file):
            raise BookError(f"'{file}' is there already, and stays. Name another file.")
        if not file.parent.is_dir():
            raise BookError(f"There is no folder '{file.parent}' for the backup to be in.")
        with open(part, "xb", opener=_private) as raw:
            with zipfile.ZipFile(raw, "w") as archive, book.reading() as connection:
                damaged: list[str] = []
                tables = [
                    _added(archive, connection, table, damaged)
                    for table in metadata.sorted_tables
                    if with_secrets or not secret(table)
                ]
                made = Manifest(
                    shape=SCHEMA, moment=written(book.clock()), secrets=with_secrets,
                    damaged=damaged[:MOST_DAMAGED], tables=tables,
                )  # fmt: skip
                add_manifest(archive, made)
            raw.flush()
            os.fsync(raw.fileno())
        manifest = checked(part)
        put_new(part, file)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise BookError(f"The backup '{file}' cannot be written: {why}; there is none.") from None
    finally:
        with suppress(OSError):
            part.unlink()
    return manifest


def put_new(part: Path, file: Path) -> None:
    """Give a file its name, unless that has been taken meanwhile.

    Raises
    ------
    OSError
    """
    try:
        os.link(part, file)
    except FileExistsError:
        raise
    except OSError:  # a disk that knows no second name of a file
        if os.path.lexists(file):
            raise
        os.rename(part, file)


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _added(
    archive: zipfile.ZipFile, connection: Connection, table: Table, damaged: list[str]
) -> Listed:
    def noted() -> Iterator[dict[str, Any]]:
        for row in rows_in(connection, table):
            damage = damaged_row(table.name, row)
            damaged.extend([damage] if damage else [])
            yield row

    columns = {column.name: kind_of(column) for column in table.columns}
    return add_table(archive, table.name, columns, noted())


def kind_of(column: Column[Any]) -> Kind:
    """What a column holds, as a backup says it."""
    kinds: tuple[tuple[type, Kind], ...] = (
        (Moment, "moment"), (Triples, "triples"), (Document, "document"),
        (Boolean, "flag"), (Whole, "number"),
    )  # fmt: skip
    return next((name for one, name in kinds if isinstance(column.type, one)), "text")


def rows_in(connection: Connection, table: Table) -> Iterator[dict[str, Any]]:
    """Every row, in an order that is the same on every database."""
    keys = [record.c.kitchen, record.c.place] if table is record else list(table.primary_key)
    text = connection.dialect.name == "postgresql"
    order = [collate(k, "C") if text and isinstance(k.type, String) else k for k in keys]
    proven = table.c.body if "sha256" in table.c and "body" in table.c else None
    columns = [as_it_lies(connection, c) if c is proven else c for c in table.columns]
    ask = select(*columns).order_by(*order).execution_options(yield_per=_AT_ONCE)
    moments = [c.name for c in table.columns if isinstance(c.type, Moment)]
    for row in connection.execute(ask).mappings():
        plain = dict(row)
        if table is revisions:
            plain["body"] = _loaded(plain["body"])
        for name in moments:
            if plain[name] is not None:
                plain[name] = written(plain[name])
        yield plain


def _loaded(body: str | None) -> Any:
    """A document; as text where it is so damaged that it is none."""
    try:
        found = None if body is None else plain_data(body)
    except (ValueError, RecursionError):
        return body
    return found if found is None or isinstance(found, (dict, str)) else body

"""Whether what lies in the book is what was saved: every body beside its SHA-256."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    Dialect,
    LargeBinary,
    Text,
    cast,
    type_coerce,
)
from sqlalchemy.types import TypeDecorator

from scheduler.book.columns import canonical
from scheduler.book.errors import BookError
from scheduler.book.telling import document

_NOTHING = "null"
"""What stands for a document that was thrown out, as canonical JSON."""


class Damaged(BookError):
    """A document or plan of the book that is not what was saved."""


class _Lying(TypeDecorator[str]):
    """Text as it lies there, whatever has become of it."""

    impl = LargeBinary
    cache_ok = True

    def process_result_value(self, value: bytes | None, dialect: Dialect) -> str | None:
        return None if value is None else bytes(value).decode("utf-8", "replace")


def as_it_lies(connection: Connection, column: Column[Any]) -> ColumnElement[Any]:
    """A body as text that can be read when it is damaged, without the others being lost."""
    if connection.dialect.name == "sqlite":
        lying: ColumnElement[Any] = type_coerce(cast(column, LargeBinary), _Lying)
    else:
        lying = type_coerce(column, Text)
    return lying.label(column.name)


def digest_of(text: str) -> str:
    """SHA-256 of a text in UTF-8, in hex."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def as_saved(text: str | None, sha256: str) -> bool:
    """Is a body that lies in the book what was saved?"""
    return digest_of(_NOTHING if text is None else text) == sha256


def document_damaged(kind: str, id: str, number: int) -> Damaged:
    """What is said of a document that is not what was saved."""
    return Damaged(
        f"{_revision(kind, id, number)} is damaged in the book: it is not what was saved. The "
        "others can be read. Save it anew (`backtime import FOLDER`), or restore the last good "
        "backup into a new book."
    )


def plan_damaged(number: int) -> Damaged:
    """What is said of a plan that is not what was kept."""
    return Damaged(
        f"Plan {number} is damaged in the book: it is not what was kept. The others can be read. "
        "Plan the week anew, or restore the last good backup into a new book."
    )


def damaged_row(table: str, row: Mapping[str, Any]) -> str | None:
    """Which document or plan a row of a backup is, if it is not what was saved."""
    body, sha256 = row.get("body"), row.get("sha256")
    if table == "revisions":
        sound = (body is None or isinstance(body, dict)) and digest_of(canonical(body)) == sha256
        if not sound:
            return f"{_revision(row['kind'], row['id'], row['number'])} of {row['kitchen']}"
    if table == "plans" and not as_saved(body, str(sha256)):
        return f"plan {row['number']} of {row['kitchen']}"
    return None


def _revision(kind: str, id: str, number: int) -> str:
    return f"{document(kind, id)} (revision {number})"

"""How moments and documents are written into the book, on either database."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import DateTime, Dialect, Integer, String, Text
from sqlalchemy.types import TypeDecorator, TypeEngine

from scheduler.book.errors import BookError

_LOST = "The book is damaged: restore the last good backup into a new one."


class Moment(TypeDecorator[datetime]):
    """A moment in UTC: aware when it goes in, aware when it comes out.

    SQLite has no such type; there it is text of one length, so that sorting it
    sorts by time.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        if dialect.name == "sqlite":
            return dialect.type_descriptor(String(27))
        return dialect.type_descriptor(DateTime(timezone=True))

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value} has no zone: only aware moments go into the book")
        value = value.astimezone(UTC)
        return written(value) if dialect.name == "sqlite" else value

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if isinstance(value, str):
            value = datetime.fromisoformat(value)
        return value.astimezone(UTC)  # type: ignore[no-any-return]


def written(moment: datetime) -> str:
    """A moment as text of one length: 2026-05-05T04:00:00.000000Z."""
    utc = moment.astimezone(UTC)
    return utc.strftime("%Y-%m-%dT%H:%M:%S.") + f"{utc.microsecond:06d}Z"


class Short(TypeDecorator[str]):
    """Text of a most length, the same on either database: SQLite itself would take any."""

    impl = String
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        most: int | None = getattr(self.impl_instance, "length", None)
        if value is not None and most is not None and len(value) > most:
            raise BookError(f"'{value[:30]}…' has {len(value)} characters; {most} fit there.")
        return _text(value)


class Long(TypeDecorator[str]):
    """Text of any length."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        return _text(value)


class Whole(TypeDecorator[int]):
    """A whole number of 32 bits, the same on either database."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: int | None, dialect: Dialect) -> int | None:
        if value is not None and not -(2**31) <= value < 2**31:
            raise BookError(f"{value} is no number that is counted to here.")
        return value


def _text(value: str | None) -> str | None:
    """What both databases can write; else a sentence."""
    if value is not None and ("\0" in value or not value.isascii()):
        try:
            value.encode()
        except UnicodeEncodeError:
            raise BookError(f"{value[:30]!a} is no text that can be written.") from None
        if "\0" in value:
            raise BookError(f"{value[:30]!a} is no text that can be written.")
    return value


class Document(TypeDecorator[Any]):
    """An object as canonical JSON: equal data are equal text, on either database."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        return None if value is None else _text(canonical(value))

    def process_result_value(self, value: Any, dialect: Dialect) -> Any:
        try:
            return None if value is None else json.loads(value)
        except ValueError:
            raise BookError(f"{value[:30]!a} lies where data should. {_LOST}") from None


class Triples(Document):
    """A list of three things each (kind, id, and which of it) as canonical JSON."""

    cache_ok = True


def canonical(value: Any) -> str:
    """Canonical JSON: sorted keys, no spaces, UTF-8."""
    return json.dumps(
        value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )

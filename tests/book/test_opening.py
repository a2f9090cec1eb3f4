"""The book opens, keeps what it promised to keep, and leaves alone what is not its own."""

from __future__ import annotations

import os
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from unittest import mock

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import select, text
from sqlalchemy.exc import DBAPIError

import scheduler.book.migrate as migrate
from scheduler.book.errors import BookError
from scheduler.book.opening import Book, open_book
from scheduler.book.place import shown, url_of
from scheduler.book.tables import kitchens, metadata, record

AT = datetime(2026, 5, 5, 4, 0, tzinfo=UTC)


def test_migrations_make_just_the_tables_that_the_code_reads(book: Book) -> None:
    with book.reading() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, metadata) == []


def test_a_saved_line_survives_the_plug_being_pulled(tmp_path: Path) -> None:
    # https://sqlite.org/pragma.html#pragma_synchronous: 2 is FULL, with which a commit in WAL
    # mode is on disk before it is reported.
    with open_book(str(tmp_path / "book.sqlite")).reading() as connection:
        ask = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("synchronous", "journal_mode", "foreign_keys", "busy_timeout")
        }
    assert ask == {
        "synchronous": 2, "journal_mode": "wal", "foreign_keys": 1, "busy_timeout": 10000,
    }


def test_a_moment_comes_back_aware_and_in_utc_whatever_zone_it_was_said_in(book: Book) -> None:
    athens = AT.astimezone(timezone(timedelta(hours=3)))
    with book.writing() as connection:
        connection.execute(kitchens.insert(), {"id": "hof", "since": athens})
    with book.reading() as connection:
        found = connection.execute(select(kitchens.c.since)).scalar_one()
    assert found == AT
    assert found.tzinfo is UTC


def test_a_moment_without_a_zone_is_refused(book: Book) -> None:
    with pytest.raises(Exception, match="has no zone"), book.writing() as connection:
        connection.execute(kitchens.insert(), {"id": "hof", "since": AT.replace(tzinfo=None)})


def test_nobody_changes_or_deletes_what_was_recorded(book: Book) -> None:
    entry = {
        "id": "1", "kitchen": "hof", "place": 1, "week": "w", "batch": "b", "kind": "done",
        "body": {}, "who": "ada", "happened": AT, "arrived": AT,
    }
    with book.writing() as connection:
        connection.execute(kitchens.insert(), {"id": "hof", "since": AT})
        connection.execute(record.insert(), entry)
    replaced = "REPLACE INTO record SELECT * FROM record" if book.lite else "TRUNCATE record"
    for statement in (record.delete(), record.update().values(who="bo"), text(replaced)):
        with pytest.raises(DBAPIError, match="only added to"), book.writing() as connection:
            connection.execute(statement)
    with book.reading() as connection:
        assert connection.execute(select(record.c.who)).scalars().all() == ["ada"]


@pytest.mark.parametrize(
    ("where", "says"),
    [
        ("mysql://a:geheim@h/x", "kept in an SQLite file or in PostgreSQL, not in 'mysql'"),
        ("sqlite://", "'sqlite://' names no file, and a book that is only in memory would be gone"),
        ("sqlite:///:memory:", "names no file, and a book that is only in memory would be gone"),
        ("foo://a:geheim@:::", "no address of a database"),
        ("foo://:::?password=geheim", "no address of a database"),
    ],
)
def test_an_address_that_is_none_is_refused_without_showing_its_password(
    where: str, says: str
) -> None:
    with pytest.raises(BookError, match=says) as error:
        url_of(where)
    assert "geheim" not in str(error.value)


def test_a_file_that_is_no_book_is_left_as_it_is(tmp_path: Path) -> None:
    file = tmp_path / "notes.txt"
    file.write_text("order the cheeks")
    with pytest.raises(BookError, match="no book of Backtime"):
        open_book(str(file))
    assert file.read_text() == "order the cheeks"


@pytest.mark.skipif(os.name != "posix", reason="rights of a file are others on Windows")
def test_nobody_else_on_the_machine_reads_a_book_while_it_is_being_made(tmp_path: Path) -> None:
    file, seen = tmp_path / "book.sqlite", {}

    def look(*_: object) -> bool:
        seen.update({p.name: p.stat().st_mode & 0o777 for p in tmp_path.iterdir()})
        return True

    was = os.umask(0)
    try:
        with mock.patch.object(migrate, "sealed", side_effect=look):
            book = open_book(str(file))
        with book.writing() as connection:
            connection.execute(kitchens.insert(), {"id": "hof", "since": AT})
            look()
        book.close()
    finally:
        os.umask(was)
    ends = ("", "-journal", "-wal", "-shm")
    assert seen == {f"book.sqlite{end}": 0o600 for end in ends}


def test_a_password_behind_the_question_mark_is_not_shown() -> None:
    address = "postgresql://u:geheim@h/backtime?password=geheim&sslpassword=geheim"
    assert "geheim" not in shown(url_of(address))


@pytest.mark.parametrize("id", ["x" * 61, "a\0b", "\ud800"])
def test_what_one_database_would_not_take_is_refused_on_both(book: Book, id: str) -> None:
    with (
        pytest.raises(BookError, match=r"61 characters; 60 fit|no text that can be written"),
        book.writing() as connection,
    ):
        connection.execute(kitchens.insert(), {"id": id, "since": AT})


def test_a_number_that_is_none_is_refused_on_both(book: Book) -> None:
    with pytest.raises(BookError, match="is no number"), book.reading() as connection:
        connection.execute(select(record).where(record.c.number == 2**70)).all()

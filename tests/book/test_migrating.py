"""A book that an older Backtime wrote is brought up to date, or left just as it was."""

from __future__ import annotations

import os
import random
import sqlite3
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from pathlib import Path
from unittest import mock

import pytest
from sqlalchemy import inspect, select, text

import scheduler.book.migrate as migrate
from scheduler.book.errors import BookError
from scheduler.book.opening import Book, engine_of, open_book
from scheduler.book.place import url_of
from scheduler.book.tables import SCHEMA, kitchens
from tests.book.people import staffed
from tests.book.trial import begun_later, later_code, opened_later

KILLS = 12


@contextmanager
def bare(address: str) -> Iterator[Book]:
    """The book as it lies there, without bringing it up to date."""
    book = Book(engine_of(url_of(address)))
    yield book
    book.close()


def shape(address: str) -> str:
    with bare(address) as book, book.reading() as connection:
        return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())


def names(address: str) -> list[str]:
    with bare(address) as book, book.reading() as connection:
        return list(connection.execute(select(kitchens.c.id)).scalars())


def copies(address: str) -> list[Path]:
    file = Path(address)
    return sorted(p for p in file.parent.glob("book.*.sqlite"))


@pytest.fixture
def older(address: str) -> str:
    """A book in the shape before the next, with a kitchen in it."""
    book = open_book(address)
    staffed(book)
    book.close()
    return address


def test_an_older_book_is_brought_up_to_date_with_everything_in_it(older: str) -> None:
    book = opened_later(older)
    with book.reading() as connection:
        rows = connection.execute(text("SELECT id, motto FROM kitchens")).all()
        assert "trial" in inspect(connection).get_table_names()
    book.close()
    assert [tuple(row) for row in rows] == [("hof", "mise")]
    assert shape(older) == "0002"


def test_before_that_a_file_is_copied_and_the_copy_opens(tmp_path: Path) -> None:
    address = str(tmp_path / "book.sqlite")
    book = open_book(address)
    staffed(book)
    book.close()
    opened_later(address).close()
    (copy,) = copies(address)
    assert copy.name.startswith("book.0001.")
    assert names(str(copy)) == ["hof"]
    assert shape(str(copy)) == "0001"
    opened_later(address).close()
    assert copies(address) == [copy]  # nothing was older the second time


def test_a_book_of_a_newer_backtime_is_left_as_it_is(older: str) -> None:
    opened_later(older).close()
    newer = r"newer Backtime \(shape 0002; this one knows up to 0001\)"
    with pytest.raises(BookError, match=newer):
        open_book(older)
    assert shape(older) == "0002"


def test_of_eight_that_come_at_once_one_brings_it_up_to_date_and_all_get_in(older: str) -> None:
    with later_code(), ThreadPoolExecutor(8) as threads:
        books = list(threads.map(lambda _: open_book(older), range(8)))
    for book in books:
        book.close()
    assert shape(older) == "0002"
    if "://" not in older:
        assert len(copies(older)) == 1


def half_way_at_most(address: str) -> str:
    """Its shape, after a look whether everything in it is of that shape."""
    assert names(address) == ["hof"]
    found = shape(address)
    with bare(address) as book, book.reading() as connection:
        there = set(inspect(connection).get_table_names())
        columns = {c["name"] for c in inspect(connection).get_columns("kitchens")}
    assert ("trial" in there, "motto" in columns) == (found == "0002",) * 2
    return found


def test_whoever_is_killed_half_way_leaves_the_older_book(older: str) -> None:
    for _ in range(3):
        process = begun_later(older, pause=60)
        assert process.stdout is not None
        assert process.stdout.readline() == "half-way\n"
        process.kill()
        process.wait()
        assert half_way_at_most(older) == "0001"
    opened_later(older).close()
    assert half_way_at_most(older) == "0002"


def test_whoever_is_killed_at_any_moment_leaves_the_older_book_or_the_newer_one(
    older: str,
) -> None:
    rng = random.Random(6)
    seen = set()
    for _ in range(KILLS):
        process = begun_later(older, pause=0)
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(rng.uniform(0, 0.02))
        process.kill()
        process.wait()
        seen.add(half_way_at_most(older))
        if "0002" in seen:
            break
    opened_later(older).close()
    assert half_way_at_most(older) == "0002"


def test_a_migration_that_fails_half_way_leaves_the_older_book(older: str) -> None:
    with (
        later_code(),
        mock.patch("alembic.op.create_table", side_effect=RuntimeError("power cut")),
        pytest.raises(RuntimeError),
    ):
        open_book(older)
    assert shape(older) == SCHEMA
    open_book(older).close()


def test_starts_that_fail_again_and_again_do_not_fill_the_disk_with_copies(
    tmp_path: Path,
) -> None:
    address = str(tmp_path / "book.sqlite")
    book = open_book(address)
    staffed(book)
    book.close()

    def fails() -> None:
        clock = mock.patch.object(migrate, "written", side_effect=[f"2026-05-0{next(days)}"])
        broken = mock.patch("alembic.op.create_table", side_effect=RuntimeError("power cut"))
        with later_code(), clock, broken, pytest.raises(RuntimeError):
            open_book(address)

    days = iter(range(1, 9))
    for _ in range(3):
        fails()
    assert [c.name for c in copies(address)] == ["book.0001.2026-05-01.sqlite"]
    open_book(address).close()
    with closing(open_book(address)) as book:
        staffed(book, "annex")
    for _ in range(2):
        fails()
    assert [len(names(str(c))) for c in copies(address)] == [1, 2], "each content once"
    assert sorted(p.name for p in tmp_path.iterdir() if ".part" in p.name) == []
    if os.name == "posix":
        assert {c.stat().st_mode & 0o777 for c in copies(address)} == {0o600}


def test_without_room_for_the_copy_the_book_is_left_as_it_is(tmp_path: Path) -> None:
    address = str(tmp_path / "book.sqlite")
    open_book(address).close()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with (
        later_code(),
        mock.patch.object(migrate.os, "replace", side_effect=full),
        pytest.raises(BookError, match=r"no copy could be made \(.*no space left on device"),
    ):
        open_book(address)
    assert shape(address) == "0001"
    assert sorted(p.name for p in tmp_path.iterdir() if ".part" in p.name) == []


def test_a_copy_that_does_not_hold_what_was_copied_is_none(tmp_path: Path) -> None:
    address = str(tmp_path / "book.sqlite")
    open_book(address).close()

    with closing(sqlite3.connect(tmp_path / "other")) as other:
        other.execute("CREATE TABLE something (id)")

    real = sqlite3.connect

    def astray(path: object, *a: object, **k: object) -> sqlite3.Connection:
        text_ = str(path)
        wrong = text_.startswith("file:") and ".part?" in text_
        return real(str(tmp_path / "other") if wrong else text_, uri=not wrong and "uri" in k)

    with (
        later_code(),
        mock.patch.object(migrate.sqlite3, "connect", side_effect=astray),
        pytest.raises(BookError, match="not what was copied"),
    ):
        open_book(address)
    assert shape(address) == "0001"
    assert copies(address) == []

"""A book that is damaged, foreign, locked or out of room is reported and left as it is."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from unittest import mock

import pytest

import scheduler.book.opening as opening
from scheduler.book.backup import backup
from scheduler.book.errors import BookError, Busy
from scheduler.book.opening import Book, open_book
from scheduler.book.tables import drafts, kitchens
from tests.book.people import CHEF, START, staffed


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A book with a kitchen in it."""
    path = tmp_path / "book.sqlite"
    book = open_book(str(path))
    staffed(book)
    book.close()
    return path


@contextmanager
def disk(folder: Path, size: str) -> Iterator[Path]:
    """A small disk of its own; only root may make one."""
    folder.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)],
        capture_output=True,
        check=False,
    ) if sys.platform == "linux" else None
    if made is None or made.returncode != 0:
        pytest.skip("no small disk can be made here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def write_much(book: Book, kilobytes: int) -> None:
    """One draft of that size."""
    with book.writing() as connection:
        connection.execute(
            drafts.insert(),
            {
                "kitchen": "hof", "who": "agnes", "form": f"recipe {kilobytes}",
                "body": "x" * kilobytes * 1024, "at": START,
            },
        )


def test_a_damaged_book_is_left_as_it_is(file: Path) -> None:
    raw = bytearray(file.read_bytes())
    raw[8192:12288] = os.urandom(4096)
    file.write_bytes(raw)
    with pytest.raises(BookError, match="the file is damaged"):
        open_book(str(file))
    assert file.read_bytes() == raw


def test_a_book_that_was_cut_short_is_left_as_it_is(file: Path) -> None:
    raw = file.read_bytes()[:10000]
    file.write_bytes(raw)
    with pytest.raises(BookError, match="the file is damaged"):
        open_book(str(file))
    assert file.read_bytes() == raw


def test_the_database_of_another_program_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "photos.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE photos (id)")
        other.commit()
    raw = path.read_bytes()
    with pytest.raises(BookError, match="no book of Backtime; it was left as it is"):
        open_book(str(path))
    assert path.read_bytes() == raw
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA application_id = 252006673")
        other.commit()
    with pytest.raises(BookError, match="no book of Backtime; it was left as it is"):
        open_book(str(path))


def test_an_empty_file_becomes_a_book(tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"
    path.touch()
    open_book(str(path)).close()
    assert path.stat().st_size > 0


def test_a_book_on_a_disk_that_may_only_be_read_says_so(file: Path, tmp_path: Path) -> None:
    with disk(tmp_path / "disk", "4m") as folder:
        shutil.copy(file, folder / "book.sqlite")
        subprocess.run(["mount", "-o", "remount,ro", str(folder)], check=True)
        before = (folder / "book.sqlite").read_bytes()
        with pytest.raises(BookError, match="may only be read, not written"):
            open_book(str(folder / "book.sqlite"))
        with pytest.raises(BookError, match="may only be read, not written"):
            open_book(str(folder / "new.sqlite"))
        assert (folder / "book.sqlite").read_bytes() == before
        assert [p.name for p in folder.iterdir()] == ["book.sqlite"]


def test_what_finds_no_room_is_not_saved_and_everything_else_stays(
    file: Path, tmp_path: Path
) -> None:
    with disk(tmp_path / "disk", "1m") as folder:
        shutil.copy(file, folder / "book.sqlite")
        book = open_book(str(folder / "book.sqlite"))
        write_much(book, 100)
        with pytest.raises(BookError, match=r"disk is full|or is full"):
            write_much(book, 2000)
        with book.reading() as connection:
            assert connection.execute(drafts.select()).one().form == "recipe 100"
            assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
        book.close()
        again = open_book(str(folder / "book.sqlite"))
        with again.reading() as connection:
            assert connection.execute(drafts.select()).one().form == "recipe 100"
        again.close()


def test_a_book_on_a_disk_without_any_room_can_be_read_and_backed_up_to_another(
    file: Path, tmp_path: Path
) -> None:
    with disk(tmp_path / "disk", "1m") as folder:
        shutil.copy(file, folder / "book.sqlite")
        with suppress(OSError), (folder / "photos").open("wb", buffering=0) as photos:
            while True:
                photos.write(b"x" * 4096)
        book = open_book(str(folder / "book.sqlite"))
        with book.reading() as connection:
            assert connection.execute(kitchens.select()).one().id == "hof"
        assert backup(book, CHEF, tmp_path / "a.zip").rows == 2
        with pytest.raises(BookError, match="the disk is full; make room, nothing of this"):
            write_much(book, 100)
        (folder / "photos").unlink()
        write_much(book, 100)
        book.close()


def test_no_book_is_begun_where_there_is_no_room_for_one(tmp_path: Path) -> None:
    with disk(tmp_path / "disk", "64k") as folder:
        (folder / "photos").write_bytes(b"x" * 60 * 1024)
        with pytest.raises(BookError, match=r"disk is full|or is full|cannot be opened"):
            open_book(str(folder / "book.sqlite"))
        (folder / "photos").unlink()


def test_a_save_beyond_the_room_of_the_file_leaves_nothing_half_written(file: Path) -> None:
    book = open_book(str(file))
    with book.writing() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages + 4}")
        with pytest.raises(Exception, match="full"):
            connection.execute(
                drafts.insert(),
                {
                    "kitchen": "hof", "who": "agnes", "form": "long", "body": "x" * 10**6,
                    "at": START,
                },
            )
    with book.reading() as connection:
        assert connection.execute(drafts.select()).all() == []
        assert connection.execute(kitchens.select()).one().id == "hof"
    book.close()


def test_somebody_who_writes_for_too_long_is_waited_for_and_then_named(address: str) -> None:
    with mock.patch.object(opening, "WAITS", 1):
        first, second = open_book(address), open_book(address)
        staffed(first)
        held, done = threading.Event(), threading.Event()
        motto = kitchens.update().values(since=START)

        def hold() -> None:
            with first.writing() as connection:
                connection.execute(motto)
                held.set()
                done.wait(10)

        thread = threading.Thread(target=hold)
        thread.start()
        held.wait(10)
        too_long = pytest.raises(Busy, match="somebody else has been writing")
        with too_long, second.writing() as connection:
            connection.execute(motto)
        with second.reading() as connection:  # reading goes on meanwhile
            assert connection.execute(kitchens.select()).one().id == "hof"
        done.set()
        thread.join()
        with second.writing() as connection:
            connection.execute(motto)
        first.close()
        second.close()

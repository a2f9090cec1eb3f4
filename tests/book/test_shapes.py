"""Books that were written years ago still open, with everything in them."""

from __future__ import annotations

import gzip
import json
import sqlite3
import zipfile
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import MetaData, select

from scheduler.book.opening import Book, open_book
from scheduler.book.restore import restore
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.tables import SCHEMA
from tests.book.shapes import HERE

LITE = sorted(HERE.glob("*.sqlite.gz"))
ZIPS = sorted(HERE.glob("*.zip"))
Rows = dict[str, list[dict[str, Any]]]


def in_file(path: Path) -> Rows:
    """What a file holds, by nothing but the database itself."""
    with closing(sqlite3.connect(path)) as connection:
        connection.row_factory = sqlite3.Row
        names = [
            r[0] for r in connection.execute("SELECT name FROM sqlite_master WHERE type='table'")
        ]
        return {
            name: [dict(r) for r in connection.execute(f'SELECT * FROM "{name}"')]
            for name in names
            if name != "alembic_version"
        }


def in_zip(path: Path) -> dict[str, int]:
    """How many rows a backup has of each table, by nothing but the zip and JSON."""
    with zipfile.ZipFile(path) as archive:
        found = {
            Path(name).stem: [json.loads(line) for line in archive.read(name).splitlines() if line]
            for name in archive.namelist()
            if name.endswith(".jsonl")
        }
    return {name: len(rows) for name, rows in found.items()}


def held(book: Book) -> dict[str, int]:
    """How many rows a book has in each table."""
    tables = MetaData()
    with book.reading() as connection:
        tables.reflect(connection)
        return {t.name: len(connection.execute(select(t)).all()) for t in tables.sorted_tables}


def test_there_is_a_book_of_the_newest_shape() -> None:
    assert [p.name for p in LITE][-1] == f"{SCHEMA}.sqlite.gz"
    assert [p.name for p in ZIPS][-1] == f"{SCHEMA}.zip"


@pytest.mark.parametrize("golden", LITE, ids=lambda p: p.name)
def test_a_file_of_each_shape_opens_with_everything_in_it(golden: Path, tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"
    path.write_bytes(gzip.decompress(golden.read_bytes()))
    then = in_file(path)
    assert all(then.values())
    open_book(str(path)).close()
    now = in_file(path)
    for name, rows in then.items():
        kept = [{key: row[key] for key in rows[0] if key in row} for row in now[name]]
        assert sorted(map(repr, kept)) == sorted(map(repr, rows)), name


@pytest.mark.parametrize("golden", ZIPS, ids=lambda p: p.name)
def test_a_backup_of_each_shape_is_restored_with_everything_in_it(
    golden: Path, book: Book
) -> None:
    restore(book, Who("hof", "ada", Role.CHEF), golden)
    counted, now = in_zip(golden), held(book)
    assert counted
    assert all(counted.values())
    assert {name: now[name] for name in counted} == counted

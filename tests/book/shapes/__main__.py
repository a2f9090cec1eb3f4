"""Write the newest shape of the book, for those who come later."""

from __future__ import annotations

import gzip
import tempfile
from pathlib import Path

from scheduler.book.backup import backup
from scheduler.book.migrate import copied
from scheduler.book.opening import open_book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.tables import SCHEMA
from tests.book.filled import fill
from tests.book.shapes import HERE

if __name__ == "__main__":
    lite, zipped = HERE / f"{SCHEMA}.sqlite.gz", HERE / f"{SCHEMA}.zip"
    if lite.exists() or zipped.exists():
        raise SystemExit(f"{SCHEMA} is there already, and stays as it is")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "book.sqlite"
        book = open_book(str(file))
        fill(book)
        backup(book, Who("hof", "ada", Role.CHEF), zipped, with_secrets=True)
        copied(file, SCHEMA, "copy")
        book.close()
        raw = file.with_name(f"book.{SCHEMA}.copy.sqlite").read_bytes()
    lite.write_bytes(gzip.compress(raw, 9, mtime=0))
    print(f"{lite.name} and {zipped.name} written")

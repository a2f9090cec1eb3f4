"""Everything comes back from a backup, into either database, and nothing else is taken for one."""

from __future__ import annotations

import hashlib
import json
import os
import random
import subprocess
import sys
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from scheduler.book import archive, migrate
from scheduler.book import backup as backing
from scheduler.book.archive import MANIFEST, checked
from scheduler.book.backup import backup
from scheduler.book.errors import BookError, NotAllowed
from scheduler.book.opening import Book, open_book, unmade
from scheduler.book.restore import restore
from scheduler.book.roles import Role, Who
from scheduler.book.tables import metadata, sign_ins
from tests.book.conftest import new_address
from tests.book.filled import AT, LATER, ROWS, content, fill
from tests.book.trial import later_code

CHEF = Who("", "ada", Role.CHEF)


@contextmanager
def another(kind: str, folder: Path) -> Iterator[Book]:
    """A place for a book where there is none yet."""
    with new_address(kind, folder, None) as address:
        book = unmade(address, clock=lambda: LATER)
        yield book
        book.close()


@pytest.fixture
def full(book: Book) -> Book:
    """A book with something in every table, at a known moment."""
    fill(book)
    return Book(book.engine, clock=lambda: AT)


@pytest.fixture
def saved(tmp_path: Path) -> Path:
    """A backup with everything, of a file."""
    source = open_book(str(tmp_path / "source.sqlite"), clock=lambda: AT)
    fill(source)
    backup(source, CHEF, tmp_path / "book.zip", with_secrets=True)
    source.close()
    return tmp_path / "book.zip"


def test_everything_has_something_in_it_so_that_nothing_is_forgotten(full: Book) -> None:
    assert {name for name, rows in content(full).items() if rows} == metadata.tables.keys()


@pytest.mark.parametrize("kind", ["sqlite", "postgres"])
def test_a_restored_book_is_the_one_that_was_backed_up_and_backs_up_to_the_same(
    full: Book, kind: str, tmp_path: Path
) -> None:
    first = backup(full, CHEF, tmp_path / "a.zip", with_secrets=True)
    with another(kind, tmp_path / "new") as new:
        assert restore(new, CHEF, tmp_path / "a.zip") == first
        assert content(new) == content(full)
        second = backup(new, CHEF, tmp_path / "b.zip", with_secrets=True)
        assert second == first.model_copy(update={"moment": second.moment})
        assert second.at - first.at == timedelta(hours=7)
        with new.reading() as connection:
            assert migrate.version(connection, "") == migrate.SCHEMA
    with zipfile.ZipFile(tmp_path / "a.zip") as a, zipfile.ZipFile(tmp_path / "b.zip") as b:
        assert a.namelist() == b.namelist()
        assert [n for n in a.namelist() if a.read(n) != b.read(n)] == [MANIFEST]


def test_nobody_is_signed_in_by_restoring_an_old_backup(full: Book, tmp_path: Path) -> None:
    with full.writing() as connection:
        connection.execute(sign_ins.update().values(revoked=None))
    backup(full, CHEF, tmp_path / "a.zip", with_secrets=True)
    with another("sqlite", tmp_path / "new") as new:
        restore(new, CHEF, tmp_path / "a.zip")
        with new.reading() as connection:
            assert connection.execute(select(sign_ins.c.revoked)).scalar() == LATER


def test_a_backup_says_whether_sign_ins_are_inside_and_has_none_unless_asked(
    full: Book, tmp_path: Path
) -> None:
    assert not backup(full, CHEF, tmp_path / "a.zip").secrets
    assert backup(full, CHEF, tmp_path / "b.zip", with_secrets=True).secrets
    with zipfile.ZipFile(tmp_path / "a.zip") as archive:
        assert not {"codes.jsonl", "sign_ins.jsonl"} & set(archive.namelist())
        assert not any(b"6b6b6b" in archive.read(n) for n in archive.namelist() if n != MANIFEST)
    with another("sqlite", tmp_path / "new") as new:
        assert not restore(new, CHEF, tmp_path / "a.zip").secrets
        assert content(new, secrets=False) == content(full, secrets=False)
        assert content(new)["codes"] == []
    assert os.name == "nt" or (tmp_path / "b.zip").stat().st_mode & 0o777 == 0o600


def test_a_book_with_anything_in_it_is_not_restored_over(full: Book, saved: Path) -> None:
    before = content(full)
    with pytest.raises(BookError, match=r"is not empty \(it has rows in codes, counters, .*DB"):
        restore(full, CHEF, saved)
    assert content(full) == before


def test_a_book_that_was_only_opened_can_be_restored_into(book: Book, saved: Path) -> None:
    restore(book, CHEF, saved)
    assert content(book)["record"]
    with pytest.raises(Exception, match="only added to"), book.writing() as connection:
        connection.execute(metadata.tables["record"].delete())


def test_only_the_chef_has_the_whole_book_in_a_file(full: Book, tmp_path: Path) -> None:
    for ask in (backup, restore):
        with pytest.raises(NotAllowed, match="takes a chef"):
            ask(full, Who("hof", "sou", Role.SOUS), tmp_path / "a.zip")
    assert not (tmp_path / "a.zip").exists()


def test_what_is_written_meanwhile_is_in_the_next_backup_and_not_in_half_of_this_one(
    full: Book, tmp_path: Path
) -> None:
    class Writing:
        """Somebody saves a kitchen and a counter of it between two tables."""

        done = False

        def __call__(self, connection: Any, table: Any) -> Any:
            rows = list(reading(connection, table))
            if not self.done:
                self.done = True
                with full.writing() as other:
                    other.execute(metadata.tables["kitchens"].insert(), {"id": "new", "since": AT})
                    other.execute(
                        metadata.tables["counters"].insert(),
                        {"kitchen": "new", "name": "plan", "last": 1},
                    )
            return iter(rows)

    reading = backing.rows_in
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(backing, "rows_in", Writing())
        backup(full, CHEF, tmp_path / "a.zip")
    with zipfile.ZipFile(tmp_path / "a.zip") as archive:
        assert b'"new"' not in archive.read("kitchens.jsonl") + archive.read("counters.jsonl")


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("book.zip", "is there already, and stays"),
        ("no/book.zip", "There is no folder"),
        ("x" * 300, "cannot be written: .*too long"),
    ],
)
def test_a_backup_goes_over_nothing_and_says_where_it_cannot_be(
    saved: Path, name: str, says: str
) -> None:
    source = open_book(str(saved.parent / "source.sqlite"))
    before = sorted(os.listdir(saved.parent)), saved.read_bytes()
    with pytest.raises(BookError, match=says):
        backup(source, CHEF, saved.parent / name)
    source.close()
    names = sorted(n for n in os.listdir(saved.parent) if not n.startswith("source"))
    assert (names, saved.read_bytes()) == (
        [n for n in before[0] if not n.startswith("source")], before[1],
    )


def rewritten(zip_file: Path, change: Callable[[dict[str, bytes]], None]) -> None:
    """The zip with other files in it."""
    with zipfile.ZipFile(zip_file) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    change(files)
    with zipfile.ZipFile(zip_file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, raw in files.items():
            archive.writestr(name, raw)


def manifest(**fields: Any) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        files[MANIFEST] = json.dumps(json.loads(files[MANIFEST]) | fields).encode()

    return change


def table(name: str, old: bytes, new: bytes, *, signed: bool) -> Callable[[dict[str, bytes]], None]:
    """Something else in a table; signed: the manifest says so too."""

    def change(files: dict[str, bytes]) -> None:
        raw = files[f"{name}.jsonl"] = files[f"{name}.jsonl"].replace(old, new)
        said = json.loads(files[MANIFEST])
        for listed in said["tables"]:
            if listed["name"] == name and signed:
                listed["bytes"], listed["rows"] = len(raw), raw.count(b"\n")
                listed["sha256"] = hashlib.sha256(raw).hexdigest()
        files[MANIFEST] = json.dumps(said).encode()

    return change


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda f: f.pop(MANIFEST), "no backup of Backtime, though a zip"),
        (lambda f: f.update({MANIFEST: b"{}"}), "is no backup of Backtime"),
        (lambda f: f.update({MANIFEST: b"[" * 100_000}), "is no backup of Backtime"),
        (lambda f: f.update({MANIFEST: b" " * 1_000_001}), "far too long"),
        (lambda f: f.pop("record.jsonl"), "its files are not those"),
        (lambda f: f.update({"../../evil": b"x"}), "its files are not those"),
        (manifest(format=2), "made by a newer Backtime"),
        (manifest(shape="9999"), "made by a newer Backtime"),
        (manifest(shape="0000"), "shape that no Backtime has had"),
        (manifest(shape=1), "is not in order"),
        (manifest(secrets=False), "its tables are not those of shape"),
        (manifest(moment="yesterday"), "is not in order"),
        (table("record", b"74", b"75", signed=False), "'record' is not what was backed up"),
        (table("record", b"\n", b"", signed=False), "not as long as"),
        (table("plans", b"\n{", b"\n[{", signed=True), "row 2 of 'plans' is none"),
        (table("plans", b'"number":2', b'"number":"2"', signed=True), "row 2 of 'plans' is none"),
        (table("record", b'"soup.1"', b"null", signed=True), "rows of 'record' that cannot be"),
        (table("record", b'"done"', b'"eaten"', signed=True), "rows of 'record' that cannot be"),
        (table("wall", b'"number":2', b'"number":3', signed=True), "that (cannot be|belong)"),
    ],
)
def test_a_backup_that_was_tampered_with_is_not_restored(
    book: Book, saved: Path, change: Callable[[dict[str, bytes]], None], says: str
) -> None:
    rewritten(saved, change)
    with pytest.raises(BookError, match=says):
        restore(book, CHEF, saved)
    assert not any(content(book).values())


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (None, "no such file"),
        (b"", "is no zip"),
        (b"schema: 1", "is no zip"),
        (b"PK\x03\x04" + bytes(100), "damaged or cut short"),
    ],
)
def test_what_is_no_backup_at_all_says_so(
    tmp_path: Path, raw: bytes | None, says: str
) -> None:
    file = tmp_path / "b.zip"
    if raw is not None:
        file.write_bytes(raw)
    with another("sqlite", tmp_path / "new") as new, pytest.raises(BookError, match=says):
        restore(new, CHEF, file)
    assert os.listdir(tmp_path / "new") == [], "no book was begun"
    with pytest.raises(BookError, match="cannot be read"):
        checked(tmp_path)


def test_a_backup_with_any_byte_wrong_or_missing_is_found_out(saved: Path, tmp_path: Path) -> None:
    good, right = saved.read_bytes(), checked(saved)
    rng, bad = random.Random(6), tmp_path / "bad.zip"
    for cut in [*rng.sample(range(2, len(good)), 60), len(good) - 1]:
        bad.write_bytes(good[:cut])
        with pytest.raises(BookError, match="damaged or cut short"):
            checked(bad)
    for place in rng.sample(range(len(good)), 300):
        bad.write_bytes(good[:place] + bytes([good[place] ^ 1 << rng.randrange(8)])
                        + good[place + 1 :])  # fmt: skip
        try:
            assert checked(bad) == right  # a date or a mark of the zip, of which we need none
        except BookError as error:
            assert "Traceback" not in str(error)


def test_a_zip_that_would_fill_the_disk_is_refused_before_it_is_unpacked(
    saved: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(archive, "SMALL", 100_000)
    rewritten(saved, table("plans", b"{}", b"{}" * 100, signed=True))
    monkeypatch.setattr(archive, "MOST_TIMES", 5)
    with pytest.raises(BookError, match=r"would unpack into [\d,]+ bytes, far more"):
        checked(saved)


def test_a_backup_of_an_older_shape_comes_into_the_newest(
    saved: Path, book: Book
) -> None:
    with later_code():
        migrate.migrate(book)
        restore(book, CHEF, saved)
        with book.reading() as connection:
            assert migrate.version(connection, "") == "0002"
            mottos = connection.exec_driver_sql("SELECT DISTINCT motto FROM kitchens")
            assert mottos.scalars().all() == ["mise"]
    assert {n: len(rows) for n, rows in content(book).items()} == {
        n: len(rows) for n, rows in ROWS.items()
    }
    with pytest.raises(Exception, match="only added to"), book.writing() as connection:
        connection.exec_driver_sql("DELETE FROM record")


def test_where_there_is_no_room_there_is_no_backup_and_the_older_one_stays(
    saved: Path, tmp_path: Path
) -> None:
    resource = pytest.importorskip("resource")
    source = open_book(str(tmp_path / "source.sqlite"))
    noise = random.Random(1).randbytes(300_000).hex()  # what cannot be packed into less
    with source.writing() as connection:
        plan = ROWS["plans"][0] | {"number": 11, "body": noise}
        connection.execute(metadata.tables["plans"].insert(), plan)
    source.close()
    script = (
        "import signal, sys\n"
        "from pathlib import Path\n"
        "from scheduler.book.backup import backup\n"
        "from scheduler.book.opening import open_book\n"
        "from tests.book.test_backup import CHEF\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "try: backup(open_book(sys.argv[1]), CHEF, Path(sys.argv[2]))\n"
        "except Exception as error: print(type(error).__name__, error)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, tmp_path / "source.sqlite", tmp_path / "new.zip"],
        capture_output=True, encoding="utf-8", check=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000)),
    )  # fmt: skip
    assert ran.stdout.startswith("BookError The backup"), ran.stderr
    assert "file too large; there is none" in ran.stdout
    assert [n for n in os.listdir(tmp_path) if "zip" in n] == ["book.zip"]
    checked(saved)

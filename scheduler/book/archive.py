"""A backup as a file: one zip of JSON lines, one file for each table, and a manifest.

Rows stand as plain data under the names of their columns, so that nothing but
the manifest is needed to read them, in any database or in none.
"""

from __future__ import annotations

import hashlib
import json
import struct
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from scheduler.book.errors import BookError
from scheduler.book.proof import damaged_row

FORMAT = 1
"""The form of the zip itself; the shape of the tables in it is the book's."""
MANIFEST = "manifest.json"
MOST_TABLES = 100
MOST_DAMAGED = 100
MOST_LINE = 64_000_000
"""Bytes of one row: a plan with its week is well under 2,000,000."""
MOST_MANIFEST = 1_000_000
SMALL = 50_000_000
MOST_TIMES = 200
"""Beyond `SMALL` bytes, unpacked is at most so many times the zip; rows of ours come to 5 to 40."""
_WAYS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)

Kind = Literal["text", "number", "flag", "moment", "document", "triples"]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class Listed(_Part):
    """A table in a backup.

    Attributes
    ----------
    name : str
    rows, bytes : int
    sha256 : str
        Of its lines, in hex.
    columns : dict of str to str
        What each column holds: text, number, flag, moment (in UTC), document (an object) or
        triples (a list of kind, id and which of it).
    """

    name: str = Field(pattern=r"^[a-z_]{1,60}$")
    rows: int = Field(ge=0)
    bytes: int = Field(ge=0)
    sha256: str = Field(pattern=r"^[0-9a-f]{64}$")
    columns: dict[str, Kind]

    @property
    def file(self) -> str:
        """Its name in the zip."""
        return f"{self.name}.jsonl"


class Manifest(_Part):
    """What a backup says of itself.

    Attributes
    ----------
    shape : str
        The book's, as it was backed up.
    moment : str
        When, in UTC.
    secrets : bool
        Are codes and sign-ins inside?
    damaged : list of str
        Documents and plans that were damaged in the book already, the first `MOST_DAMAGED`.
    tables : list of Listed
        Each after those that it refers to.
    """

    backtime: Literal["backup"] = "backup"
    format: int = FORMAT
    shape: str = Field(pattern=r"^[0-9]{4}$")
    moment: str = Field(max_length=40)
    secrets: bool
    damaged: list[str] = Field(default=[], max_length=MOST_DAMAGED)
    tables: list[Listed] = Field(max_length=MOST_TABLES)

    @property
    def at(self) -> datetime:
        """When it was made."""
        return _moment(self.moment)

    @property
    def rows(self) -> int:
        """Rows in all tables."""
        return sum(t.rows for t in self.tables)


class Damaged(BookError):
    """A backup that cannot be restored, and why."""

    def __init__(self, file: Path, why: str) -> None:
        super().__init__(f"'{file}' {why}; nothing was restored.")


def add_table(
    into: zipfile.ZipFile, name: str, columns: dict[str, Kind], rows: Iterable[dict[str, Any]]
) -> Listed:
    """Write a table into a zip, row by row."""
    digest, count, size = hashlib.sha256(), 0, 0
    # With force_zip64 as nobody knows beforehand how long it gets.
    with into.open(_entry(f"{name}.jsonl"), "w", force_zip64=True) as file:
        for row in rows:
            line = _json(row).encode() + b"\n"
            digest.update(line)
            count, size = count + 1, size + len(line)
            file.write(line)
    return Listed(
        name=name, rows=count, bytes=size, sha256=digest.hexdigest(), columns=columns
    )


def add_manifest(into: zipfile.ZipFile, manifest: Manifest) -> None:
    """Write what the zip says of itself, last, as only then it is known."""
    text = json.dumps(manifest.model_dump(), ensure_ascii=False, indent=1) + "\n"
    into.writestr(_entry(MANIFEST), text)


def _json(row: dict[str, Any]) -> str:
    return json.dumps(row, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def _entry(name: str) -> zipfile.ZipInfo:
    """Without a time, so that backups of equal books differ in nothing but the manifest."""
    info = zipfile.ZipInfo(name)
    info.compress_type = zipfile.ZIP_DEFLATED
    info.external_attr = 0o600 << 16
    return info


@contextmanager
def opened(file: Path) -> Iterator[tuple[Manifest, zipfile.ZipFile]]:
    """A backup and its manifest, with the sizes that the zip declares looked at.

    Raises
    ------
    Damaged
        If it cannot be read, is none of ours, newer than this code, cut short, or would
        unpack into far more than a book can be.
    """
    try:
        with _zip(file) as archive:
            yield _manifest(file, archive), archive
    except (zipfile.BadZipFile, zlib.error, EOFError):
        raise Damaged(file, "is damaged or cut short") from None


def _zip(file: Path) -> zipfile.ZipFile:
    try:
        with file.open("rb") as start:
            if start.read(2) != b"PK":
                raise Damaged(file, "is no zip, so no backup of Backtime")
        return zipfile.ZipFile(file)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise Damaged(file, f"cannot be read: {why}") from None
    except (struct.error, ValueError, OverflowError, NotImplementedError):
        raise Damaged(file, "is damaged or cut short") from None


def rows_of(
    file: Path, archive: zipfile.ZipFile, table: Listed, damaged: list[str]
) -> Iterator[dict[str, Any]]:
    """The rows of a table, one by one, each looked at.

    Parameters
    ----------
    damaged : list of str
        Documents and plans that are not what was saved; added to.

    Raises
    ------
    Damaged
        After the last one where they are not what the manifest says.
    """
    digest, count = hashlib.sha256(), 0
    with archive.open(table.file) as lines:
        while line := lines.readline(MOST_LINE + 1):
            if len(line) > MOST_LINE:
                raise Damaged(file, f"has a row of '{table.name}' that is far too long")
            digest.update(line)
            count += 1
            try:
                row = plain_data(line)
                told = {name: _value(row[name], kind) for name, kind in table.columns.items()}
                fits = row.keys() == table.columns.keys()
                damage = damaged_row(table.name, told)
            except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
                fits = False
            if not fits:
                raise Damaged(file, f"is damaged: row {count} of '{table.name}' is none")
            damaged += [damage] if damage else []
            yield told
    if count != table.rows or digest.hexdigest() != table.sha256:
        raise Damaged(file, f"is damaged: '{table.name}' is not what was backed up")


def plain_data(text: str | bytes) -> Any:
    """Data from JSON, without what is no number in it.

    Raises
    ------
    ValueError, RecursionError
    """

    def no_number(word: str) -> None:
        raise ValueError(word)

    return json.loads(text, parse_constant=no_number)


def checked(file: Path) -> Manifest:
    """Read a backup from end to end.

    Raises
    ------
    Damaged
        If anything in it is not what was backed up.
    """
    found: list[str] = []
    with opened(file) as (manifest, archive):
        for table in manifest.tables:
            for _ in rows_of(file, archive, table, found):
                pass
    if found[:MOST_DAMAGED] != manifest.damaged:
        raise Damaged(file, f"is damaged: {found[0] if found else manifest.damaged[0]} is not as "
                      "it was backed up")
    return manifest


def _value(value: Any, kind: Kind) -> Any:
    """A value as the column's type takes it."""
    if value is None:
        return value
    if kind == "triples" and isinstance(value, list):
        return [[kind, id, which] for kind, id, which in value]
    if kind == "document" and isinstance(value, (dict, str)):  # text: damaged in the book already
        return value
    if kind == "moment" and isinstance(value, str):
        return _moment(value)
    if type(value) is not {"text": str, "number": int, "flag": bool}.get(kind):
        raise TypeError(value)
    return value


def _moment(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    # Of years that no clock has ever shown some come to none in another zone.
    if moment.tzinfo is None or moment.year not in range(1900, 3000):
        raise ValueError(text)
    return moment


def _manifest(file: Path, archive: zipfile.ZipFile) -> Manifest:
    infos = {info.filename: info for info in archive.infolist()}
    if MANIFEST not in infos:
        raise Damaged(file, "is no backup of Backtime, though a zip")
    if any(i.flag_bits & 1 or i.compress_type not in _WAYS for i in archive.infolist()):
        raise Damaged(file, "is no backup of Backtime: it is packed in another way")
    if infos[MANIFEST].file_size > MOST_MANIFEST:
        raise Damaged(file, f"is no backup of Backtime: its {MANIFEST} is far too long")
    try:
        said = json.loads(archive.read(MANIFEST))
    except (ValueError, RecursionError):
        raise Damaged(file, f"is no backup of Backtime: its {MANIFEST} is none of ours") from None
    if not isinstance(said, dict) or said.get("backtime") != "backup":
        raise Damaged(file, f"is no backup of Backtime: its {MANIFEST} is none of ours")
    if isinstance(said.get("format"), int) and said["format"] > FORMAT:
        raise Damaged(file, "was made by a newer Backtime; use that to restore it")
    try:
        manifest = Manifest.model_validate(said)
        _ = manifest.at
    except (ValidationError, ValueError):
        raise Damaged(file, f"is damaged: its {MANIFEST} is not in order") from None
    expected = {MANIFEST: None} | {t.file: t.bytes for t in manifest.tables}
    if infos.keys() != expected.keys() or len(archive.infolist()) != len(expected):
        raise Damaged(file, f"is damaged: its files are not those of its {MANIFEST}")
    if any(size not in (None, infos[name].file_size) for name, size in expected.items()):
        raise Damaged(file, f"is damaged: its files are not as long as its {MANIFEST} says")
    whole = sum(t.bytes for t in manifest.tables)
    if whole > max(SMALL, MOST_TIMES * file.stat().st_size):
        raise Damaged(
            file, f"would unpack into {whole:,} bytes, far more than a backup of its size can be"
        )
    return manifest

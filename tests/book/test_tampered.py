"""Whatever somebody has done to a backup: it ends in a sentence, or in a book that can be read."""

from __future__ import annotations

import hashlib
import json
import secrets
import zipfile
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from scheduler.book.archive import MANIFEST
from scheduler.book.backup import backup
from scheduler.book.codes import holders
from scheduler.book.columns import canonical
from scheduler.book.documents import heads, history
from scheduler.book.drafts import drafts
from scheduler.book.errors import BookError
from scheduler.book.jobs import jobs
from scheduler.book.listing import kitchens, weeks
from scheduler.book.opening import Book, open_book, unmade
from scheduler.book.overview import overview
from scheduler.book.plans import plans_of
from scheduler.book.restore import restore
from scheduler.book.roles import Role, Who
from scheduler.book.wall import hanging
from tests.book.filled import AT, ROWS, fill

WHO = Who("hof", "ada", Role.CHEF)
WEEK = {"id": "may", "name": "May", "starts": "2026-05-05 06:00", "ends": "2026-05-06 23:00"}
ODD: list[Any] = [
    None, True, -1, 2**31, 2**70, 1.5, "", "x" * 500, "\0", "\ud800", [], [1], [["dish", "x"]],
    [["dish", "x", "y"]], {}, {"a": [1]}, WEEK, WEEK | {"starts": 5}, WEEK | {"name": [1]},
    "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00", "2026-05-05T04:00:00", "2026-05-05",
]  # fmt: skip


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The files of a backup with something in every table."""
    folder = tmp_path_factory.mktemp("whole")
    book = open_book(str(folder / "book.sqlite"), clock=lambda: AT)
    fill(book)
    backup(book, WHO, folder / "a.zip", with_secrets=True)
    book.close()
    with zipfile.ZipFile(folder / "a.zip") as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def tampered(
    parts: dict[str, bytes], file: Path, table: str, row: int, column: str, value: Any, sign: bool
) -> None:
    """Put something else into a row, with everything that proves it made to fit."""
    rows = [json.loads(line) for line in parts[f"{table}.jsonl"].splitlines()]
    one = rows[row % len(rows)]
    one[column] = value
    if sign and {"body", "sha256"} <= one.keys():
        text = value if table == "plans" and isinstance(value, str) else canonical(one["body"])
        one["sha256"] = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
    lines = "".join(json.dumps(r) + "\n" for r in rows).encode()
    said = json.loads(parts[MANIFEST])
    for listed in said["tables"]:
        if listed["name"] == table:
            listed |= {"bytes": len(lines), "sha256": hashlib.sha256(lines).hexdigest()}
    files = parts | {f"{table}.jsonl": lines, MANIFEST: json.dumps(said).encode()}
    with zipfile.ZipFile(file, "w") as archive:
        for name, raw in files.items():
            archive.writestr(name, raw)


def restored(book: Book, file: Path) -> str:
    """What is said; nothing where the book is there and can be read through and through."""
    try:
        restore(book, WHO, file)
    except BookError as error:
        return str(error)
    overview(book, WHO)
    for kitchen in kitchens(book, WHO):
        who = Who(kitchen.id, "ada", Role.CHEF)
        for read in (weeks, plans_of, hanging, holders, drafts, jobs):
            read(book, who)
        for head in heads(book, who, thrown_out=True):
            for one in history(book, who, head.kind, head.id):
                with suppress(BookError):
                    _ = one.body
    return ""


places = st.sampled_from(sorted(ROWS)).flatmap(
    lambda table: st.tuples(st.just(table), st.sampled_from(sorted(ROWS[table][0])))
)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(place=places, row=st.integers(0, 2), value=st.sampled_from(ODD), sign=st.booleans())
@example(place=("kitchens", "id"), row=0, value="x" * 500, sign=False)
def test_no_tampered_backup_ends_in_anything_but_a_sentence(
    parts: dict[str, bytes], tmp_path: Path, place: tuple[str, str], row: int, value: Any,
    sign: bool,
) -> None:  # fmt: skip
    name = secrets.token_hex(4)
    tampered(parts, tmp_path / f"{name}.zip", *place[:1], row, place[1], value, sign)
    book = unmade(str(tmp_path / f"{name}.sqlite"), clock=lambda: AT)
    said = restored(book, tmp_path / f"{name}.zip")
    book.close()
    assert "\n" not in said
    assert said == "" or said.endswith("nothing was restored.")


@pytest.mark.parametrize(
    ("table", "column", "value", "says"),
    [
        ("kitchens", "since", "0001-01-01T00:00:00+14:00", "row 1 of 'kitchens' is none"),
        ("kitchens", "since", "9999-12-31T23:59:59-14:00", "row 1 of 'kitchens' is none"),
        ("drafts", "body", [1], "row 1 of 'drafts' is none"),
        ("plans", "made_from", [1], "row 1 of 'plans' is none"),
        ("plans", "made_from", [["dish", "x"]], "row 1 of 'plans' is none"),
        ("revisions", "body", [1], "recipe|dish soup .*is not as it was backed up|is none"),
        ("jobs", "process", 2**70, "rows of 'jobs' that cannot be"),
        ("jobs", "word", "\0", "rows of 'jobs' that cannot be"),
        ("jobs", "word", "\ud800", "rows of 'jobs' that cannot be"),
        ("setbacks", "body", {"a": "\ud800"}, "rows of 'setbacks' that cannot be"),
        ("kitchens", "id", "x" * 61, "no Backtime has written|does not take"),
    ],
)
def test_what_no_backtime_has_written_is_not_restored_into_either_database(
    book: Book, parts: dict[str, bytes], tmp_path: Path, table: str, column: str, value: Any,
    says: str,
) -> None:  # fmt: skip
    tampered(parts, tmp_path / "a.zip", table, 0, column, value, sign=True)
    with pytest.raises(BookError, match=says):
        restore(book, WHO, tmp_path / "a.zip")
    assert kitchens(book, WHO) == ()


@pytest.mark.parametrize("broken", [{"starts": 5}, {"ends": None}, {"starts": "soon"}])
def test_a_week_that_the_page_of_the_book_could_not_show_is_not_restored(
    book: Book, parts: dict[str, bytes], tmp_path: Path, broken: dict[str, Any]
) -> None:
    body = WEEK | broken
    row = json.loads(parts["revisions.jsonl"].splitlines()[0]) | {
        "kind": "week", "id": "may", "body": body,
        "sha256": hashlib.sha256(canonical(body).encode()).hexdigest(),
    }  # fmt: skip
    hut = {"id": row["kitchen"]}  # only kitchens that have been saved are shown
    kitchen = row | {
        "kind": "kitchen", "id": row["kitchen"], "body": hut,
        "sha256": hashlib.sha256(canonical(hut).encode()).hexdigest(),
    }  # fmt: skip
    lines = b"".join(json.dumps(one).encode() + b"\n" for one in (row, kitchen))
    more = parts | {"revisions.jsonl": parts["revisions.jsonl"] + lines}
    said = json.loads(parts[MANIFEST])
    for listed in said["tables"]:
        listed["rows"] += 2 * (listed["name"] == "revisions")
    tampered(
        more | {MANIFEST: json.dumps(said).encode()},
        tmp_path / "a.zip", "revisions", 2, "number", 1, sign=False,
    )  # fmt: skip
    with pytest.raises(BookError, match="kitchens or weeks in it that no Backtime has written"):
        restore(book, WHO, tmp_path / "a.zip")

"""A book with something in every table, as odd as people write it, and all that is in a book."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import Table, select

from scheduler.book.opening import Book
from scheduler.book.proof import digest_of
from scheduler.book.revisions import digest
from scheduler.book.tables import metadata

AT = datetime(2026, 5, 5, 4, 0, 0, 123456, tzinfo=UTC)
LATER = AT + timedelta(hours=7)
ODD = "Crème brûlée, 5 × ½ l\n\ttwo\u2028lines \U0001f951 \"quoted\" 'single' \\ back; %s :x"
SOUP = {"name": ODD}
PLAN = "{}\n" * 999
REST: dict[str, Any] = {"kitchen": "hof", "week": "may", "who": "ada", "at": AT}

ROWS: dict[str, list[dict[str, Any]]] = {
    # Ids so that a database that sorts by language puts them in another order than by letters.
    "kitchens": [{"id": i, "since": AT} for i in ("hof", "ho-f", "h0f", "hoe")],
    "counters": [{"kitchen": "hof", "name": n, "last": 3} for n in ("record", "plan")],
    "revisions": [
        REST | {"kind": "dish", "id": "soup", "number": 1, "body": SOUP,
         "sha256": digest(SOUP)},
        REST | {"kind": "dish", "id": "soup", "number": 2, "body": None,
         "sha256": digest(None)},
    ],
    "sources": [
        {"kitchen": "hof", "number": 1, "file": "a.yaml", "week": "may", "place": 0,
         "text": "\ufeff# " + ODD + "\r\n", "holds": [["dish", "soup", "a"]]},
    ],
    "drafts": [
        REST | {"form": "dish/soup", "body": {"portions": "\u0000", "n": 1.5, "none": None},
                "base": None},
    ],
    "plans": [
        REST | {"number": n, "body": PLAN, "sha256": digest_of(PLAN),
                "made_from": [["week", "may", 1]],
                "replaces": replaced, "valid": n < 10, "served": False}
        for n, replaced in ((1, None), (2, 1), (10, 2))
    ],
    "wall": [
        {"kitchen": "hof", "week": "may", "place": 1, "number": 1, "up": AT, "up_by": "ada",
         "down": LATER, "down_by": "bo"},
        {"kitchen": "hof", "week": "may", "place": 2, "number": 2, "up": LATER, "up_by": "bo",
         "down": None, "down_by": None},
    ],
    "entries": [
        {"kitchen": "hof", "week": "may", "person": "bo", "task": f"soup.1/boil/{gone}",
         "sequence": 2, "says": {"title": ODD}, "gone": gone, "number": 2, "at": AT}
        for gone in (True, False)
    ],
    "kept_tasks": [
        REST | {"task": "soup.1/boil", "place": 1, "how": {"start": 60}, "let_go": LATER,
                "let_go_by": "ada"},
    ],
    "setbacks": [
        {"id": "s-1", "kitchen": "hof", "week": "may", "kind": "away", "body": {"person": "bo"},
         "who": "ada", "happened": AT, "arrived": LATER, "answered": 2, "taken_back": None,
         "taken_back_by": None},
    ],
    "jobs": [
        {"id": "j-1", "kitchen": "hof", "week": "may", "folder": "C:\\x", "host": "h",
         "process": 7, "mark": "boot 5", "who": "ada", "began": AT, "ended": None,
         "outcome": None, "word": ODD, "number": 2},
    ],
    "record": [
        # What corrects comes first by id, and arrived last.
        {"id": "z", "kitchen": "hof", "place": 1, "week": "may", "batch": "soup.1", "task": None,
         "kind": "done", "body": {}, "who": "bo", "happened": AT, "arrived": AT, "number": None,
         "corrects": None},
        {"id": "a", "kitchen": "hof", "place": 2, "week": "may", "batch": "soup.1",
         "task": "soup.1/boil", "kind": "measured", "body": {"core": "74 °C"}, "who": "bo",
         "happened": AT, "arrived": LATER, "number": 2, "corrects": "z"},
    ],
    "codes": [
        {"kitchen": "hof", "person": "bo", "place": 1, "role": "cook", "salt": "5a",
         "hash": "6b" * 16, "cost": {"n": 2}, "made_by": "ada", "at": AT, "withdrawn": None},
    ],
    "wrong_codes": [{"kitchen": "hof", "person": "bo", "place": 1, "at": AT}],
    "sign_ins": [
        {"id": "in-1", "kitchen": "hof", "person": "bo", "role": "cook", "began": AT,
         "ends": LATER, "revoked": LATER},
    ],
}  # fmt: skip


def fill(book: Book) -> None:
    """Write something into every table."""
    with book.writing() as connection:
        for table in metadata.sorted_tables:
            for row in ROWS[table.name]:
                connection.execute(table.insert(), row)


def content(book: Book, *, secrets: bool = True) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table."""

    def wanted(table: Table) -> bool:
        return secrets or not table.info.get("secret")

    with book.reading() as connection:
        return {
            table.name: sorted(map(tuple, connection.execute(select(table))), key=repr)
            for table in metadata.sorted_tables
            if wanted(table)
        }

"""A kitchen with four people in a book, and who they are to it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from scheduler.book.opening import Book
from scheduler.book.revisions import digest
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.tables import kitchens, revisions

START = datetime(2026, 5, 5, 4, 0, tzinfo=UTC)
CHEF = Who("hof", "agnes", Role.CHEF)
SOUS = Who("hof", "bela", Role.SOUS)
COOK = Who("hof", "cem", Role.COOK)
PEOPLE = ("agnes", "bela", "cem", "dora")
PEOPLED = {"people": [{"id": p} for p in PEOPLE]}


class Clock:
    """A clock that stands still until it is told to move; also backwards."""

    def __init__(self) -> None:
        self.at = START

    def __call__(self) -> datetime:
        return self.at

    def move(self, **by: float) -> None:
        """Move it by so many minutes, hours, days."""
        self.at += timedelta(**by)


def staffed(book: Book, kitchen: str = "hof") -> None:
    """Write a kitchen of four people into a book, without checking anything of it."""
    with book.writing() as connection:
        connection.execute(kitchens.insert(), {"id": kitchen, "since": START})
        connection.execute(
            revisions.insert(),
            {
                "kitchen": kitchen, "kind": "kitchen", "id": kitchen, "number": 1,
                "body": PEOPLED, "sha256": digest(PEOPLED),
                "who": "agnes", "at": START,
            },
        )

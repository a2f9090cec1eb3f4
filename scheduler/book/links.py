"""Links that open without a sign-in: a sheet, by the code on paper, and somebody's calendar."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, Literal

from itsdangerous import BadData, URLSafeSerializer
from sqlalchemy import Connection

from scheduler.book.codes import held, people_of
from scheduler.book.errors import BookError
from scheduler.book.keys import key_of
from scheduler.book.opening import Book
from scheduler.book.roles import EVERYBODY, LEADS, Who, anybody, may, within
from scheduler.book.there import plan_row

HOLDS = timedelta(days=3)
"""From the beginning of the last day of a sheet: it is read the morning after, all over the
world."""
LEAST = timedelta(days=1)
"""And from when it is printed: old sheets are read too."""
Whose = Literal["section", "person", "all"]
_WHOSE: dict[Whose, str] = {"section": "s", "person": "p", "all": "a"}


class BadLink(BookError):
    """Not signed by this book, or held no longer; its message is for whoever opened it."""


@dataclass(frozen=True, slots=True)
class SheetLink:
    """What a code on paper opens.

    Attributes
    ----------
    kitchen : str
    number : int
        The plan of which the paper is.
    whose : str
        A section's, a person's, or everything of the day (the wall sheet).
    id : str
        Of the section or person.
    day : date
    """

    kitchen: str
    number: int
    whose: Whose
    id: str
    day: date


@may(EVERYBODY)
def sheet_link(
    book: Book, who: Who, number: int, whose: Whose, id: str, day: date, last: date
) -> str:
    """Make the link of a sheet on paper: it reads, and expires.

    Parameters
    ----------
    last : date
        The last day that is on the paper; it holds until two days after that.

    Returns
    -------
    str
        Signed; `sheet_of` reads it.
    """
    with book.reading() as connection:
        plan_row(connection, who.kitchen, number)
    until = max(datetime.combine(last, time(), UTC) + HOLDS, book.clock() + LEAST)
    minutes = int(until.timestamp() // 60)
    said = [who.kitchen, number, _WHOSE[whose] + id, day.toordinal(), minutes]
    return str(_signer(book, "sheet").dumps(said))


@anybody
def sheet_of(book: Book, token: str) -> SheetLink:
    """Say which sheet a link opens.

    Raises
    ------
    BadLink
    """
    said = _read(book, "sheet", token, 5, "a sheet")
    kitchen, number, whose, day, minutes = said
    if book.clock().timestamp() >= minutes * 60:
        raise BadLink(
            f"This sheet is of plan {number} and for {date.fromordinal(day):%Y-%m-%d}; its code "
            "has expired. Sign in, or ask for a new sheet."
        )
    kind = next(k for k, letter in _WHOSE.items() if whose.startswith(letter))
    return SheetLink(kitchen, number, kind, whose[1:], date.fromordinal(day))


_of_others = within(
    f"{__name__}.calendar_link.others", LEADS, "Give out the link of somebody else's calendar"
)


@may(EVERYBODY)
def calendar_link(book: Book, who: Who, person: str) -> str:
    """Make the link of a calendar; it ends with their code.

    Raises
    ------
    BookError
        They have no code: a new one or none ends the link, so there must be one.
    """
    if person != who.person:
        _of_others(who)
    with book.reading() as connection:
        place = _place(connection, who.kitchen, person)
    if place is None:
        raise BookError(
            f"{person} has no code in {who.kitchen}, and their calendar is theirs by it: "
            f"`backtime code {person}` first."
        )
    return str(_signer(book, "calendar").dumps([who.kitchen, person, place]))


@anybody
def calendar_of(book: Book, token: str) -> tuple[str, str]:
    """Say whose calendar a link opens: kitchen and person.

    Raises
    ------
    BadLink
        Also where their code was withdrawn or changed since.
    """
    kitchen, person, place = _read(book, "calendar", token, 3, "a calendar")
    with book.reading() as connection:
        if _place(connection, kitchen, person) != place:
            raise BadLink("This calendar's link was withdrawn. Ask the chef for a new one.")
    return kitchen, person


def _place(connection: Connection, kitchen: str, person: str) -> int | None:
    """Which of somebody's codes holds now; None: they have none, or are not here any more."""
    row = held(connection, kitchen, person)
    return None if row is None or person not in people_of(connection, kitchen) else row.place


def _signer(book: Book, what: str) -> URLSafeSerializer:
    return URLSafeSerializer(key_of(book), salt=f"backtime {what}")


def _read(book: Book, what: str, token: str, length: int, name: str) -> list[Any]:
    try:
        found = _signer(book, what).loads(token)
    except BadData:
        found = None
    if not isinstance(found, list) or len(found) != length:
        raise BadLink(f"This is no link to {name} of this kitchen. Scan it again, or sign in.")
    return found

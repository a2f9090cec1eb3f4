"""Signing in: with a personal code, for a shift, until it is revoked."""

from __future__ import annotations

import secrets
from datetime import timedelta

from itsdangerous import BadData, URLSafeSerializer
from sqlalchemy import delete, func, select, update

from scheduler.book.codes import fits, held, people_of
from scheduler.book.errors import BookError
from scheduler.book.keys import key_of
from scheduler.book.opening import Book
from scheduler.book.role import Role
from scheduler.book.roles import CHEF, Who, anybody, may
from scheduler.book.tables import codes, sign_ins, wrong_codes
from scheduler.book.waiting import waits_until

LASTS = timedelta(hours=16)
"""A long shift, with the way there and back."""
APART = timedelta(minutes=5)
"""So far the clocks of two machines may be apart."""
AGAIN = "Please sign in again."


class NotSignedIn(BookError):
    """Whoever asks has not signed in, or no longer is."""


class WrongCode(NotSignedIn):
    """The code is not theirs, or none was looked at because too many were wrong."""


@anybody
def sign_in(book: Book, kitchen: str, person: str, code: str) -> str:
    """Sign in with a personal code.

    Each try counts as wrong before it is looked at, so that many at once are
    no quicker than one after the other.

    Returns
    -------
    str
        What is shown from now on instead of the code, signed; `who_is` reads it.

    Raises
    ------
    WrongCode
    """
    now, signer = book.clock(), _signer(book)
    mine = (wrong_codes.c.kitchen == kitchen, wrong_codes.c.person == person)
    with book.writing() as connection:
        row = held(connection, kitchen, person, alone=True)
        if person not in people_of(connection, kitchen):
            row = None  # They have left; their code opens nothing.
        until = None
        if row is not None:
            # What a clock that ran ahead has left in the future was tried now, once and for all.
            connection.execute(
                update(wrong_codes).where(*mine, wrong_codes.c.at > now).values(at=now)
            )
            tried = connection.execute(
                select(wrong_codes.c.at).where(*mine).order_by(wrong_codes.c.place)
            ).scalars().all()
            until = waits_until(tried, now)
        if row is not None and until is None:
            last = connection.execute(
                select(func.max(wrong_codes.c.place)).where(*mine)
            ).scalar()
            connection.execute(
                wrong_codes.insert(),
                {"kitchen": kitchen, "person": person, "place": (last or 0) + 1, "at": now},
            )
    if until is not None:
        raise WrongCode(
            f"Too many wrong codes for {person}: try again in {_told(until - now)}, or ask the "
            "chef for a new one."
        )
    if not fits("".join(code.split()), row):
        raise WrongCode(f"That is not the code of {person} in {kitchen}.")
    made = secrets.token_hex(16)
    with book.writing() as connection:
        if held(connection, kitchen, person, alone=True) != row:
            raise WrongCode(f"The code of {person} has just been changed.")
        connection.execute(delete(wrong_codes).where(*mine))
        connection.execute(
            sign_ins.insert(),
            {
                "id": made, "kitchen": kitchen, "person": person, "role": row.role,
                "began": now, "ends": now + LASTS,
            },
        )
    return signer.dumps(made)


@anybody
def who_is(book: Book, token: str) -> Who:
    """Say who has signed in.

    Raises
    ------
    NotSignedIn
        If it was not signed by this book's key, has ended or was revoked.
    """
    now = book.clock()
    with book.reading() as connection:
        row = connection.execute(
            select(sign_ins).where(sign_ins.c.id == _read(book, token))
        ).first()
        left = row is not None and row.person not in people_of(connection, row.kitchen)
    # A clock that was set back does not make a sign-in last longer than it was meant to.
    if row is None or left or row.revoked is not None or not row.began - APART <= now < row.ends:
        raise NotSignedIn(f"This sign-in has ended. {AGAIN}")
    return Who(row.kitchen, row.person, Role(row.role))


@anybody
def sign_out(book: Book, token: str) -> None:
    """Sign out on this device."""
    with book.writing() as connection:
        connection.execute(
            update(sign_ins)
            .where(sign_ins.c.id == _read(book, token), sign_ins.c.revoked.is_(None))
            .values(revoked=book.clock())
        )


@may(CHEF)
def revoke(book: Book, who: Who, person: str) -> int:
    """End all sign-ins of somebody, on every device."""
    with book.writing() as connection:
        ended = connection.execute(
            update(sign_ins)
            .where(
                sign_ins.c.kitchen == who.kitchen,
                sign_ins.c.person == person,
                sign_ins.c.revoked.is_(None),
                sign_ins.c.ends > book.clock(),
            )
            .values(revoked=book.clock())
        )
    return ended.rowcount


@anybody
def needed(book: Book, kitchen: str) -> bool:
    """Say whether a kitchen asks for a sign-in: does anybody have a code?"""
    with book.reading() as connection:
        return (
            connection.execute(
                select(codes.c.person)
                .where(codes.c.kitchen == kitchen, codes.c.withdrawn.is_(None))
                .limit(1)
            ).first()
            is not None
        )


@anybody
def who_can(book: Book, kitchen: str) -> tuple[tuple[str, str], ...]:
    """Say who has a code to sign in with: id and name of each."""
    with book.reading() as connection:
        having = connection.execute(
            select(codes.c.person).where(
                codes.c.kitchen == kitchen, codes.c.withdrawn.is_(None)
            )
        ).scalars().all()
        people = people_of(connection, kitchen)  # Whoever has left opens nothing with their code.
    return tuple((id, name) for id, name in people.items() if id in having)


def _signer(book: Book) -> URLSafeSerializer:
    return URLSafeSerializer(key_of(book), salt="backtime sign-in")


def _read(book: Book, token: str) -> str:
    try:
        found = _signer(book).loads(token)
    except BadData:
        found = None
    if not isinstance(found, str):
        raise NotSignedIn(f"This is no sign-in of this book. {AGAIN}")
    return found


def _told(wait: timedelta) -> str:
    seconds = -(-int(wait.total_seconds() * 1000) // 1000)
    if seconds <= 90:
        return f"{max(1, seconds)} s"
    return f"{-(-seconds // 60)} min"

"""Personal codes: made by the chef, kept so that nobody can read them back."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, func, select, update

from scheduler.book.errors import BookError, NotThere
from scheduler.book.opening import Book
from scheduler.book.revisions import heads_of
from scheduler.book.role import Role
from scheduler.book.roles import CHEF, Who, may
from scheduler.book.tables import codes, sign_ins, wrong_codes
from scheduler.domain.problems import nearest, one_of

DIGITS = 6
COST = {"n": 2**15, "r": 8, "p": 1}
"""Of scrypt (RFC 7914): 32 MB and about a tenth of a second for each code that is tried."""
_OBVIOUS = {"123456", "654321", "012345", "543210", "121212", "112233"}


@dataclass(frozen=True, slots=True)
class Holder:
    """Somebody who has a code."""

    person: str
    role: Role
    since: datetime
    made_by: str


@may(CHEF)
def make_code(book: Book, who: Who, person: str, role: Role) -> str:
    """Make somebody's code.

    Parameters
    ----------
    person : str
        Somebody of the kitchen's people.
    role : Role

    Returns
    -------
    str
        The code. It is told this once; the book cannot say it again.

    Raises
    ------
    BookError
        If nobody could sign in as chef afterwards.
    NotThere
        If the kitchen has nobody of that id.
    """
    code = _new_code()
    salt = secrets.token_hex(16)
    now = book.clock()
    with book.writing() as connection:
        people = tuple(people_of(connection, who.kitchen))
        if person not in people:
            meant = nearest(person, people)
            maybe = f"Maybe '{meant}'" if meant else f"There are {one_of(people)}"
            raise NotThere(f"Nobody in {who.kitchen} has the id '{person}'. {maybe}.")
        _still_a_chef(connection, who.kitchen, person, role)
        last = withdraw(connection, who.kitchen, person, now)
        connection.execute(
            codes.insert(),
            {
                "kitchen": who.kitchen, "person": person, "place": last + 1, "role": role.value,
                "salt": salt, "hash": hashed(code, salt, COST), "cost": COST,
                "made_by": who.person, "at": now,
            },
        )
    return code


@may(CHEF)
def withdraw_code(book: Book, who: Who, person: str) -> None:
    """Withdraw somebody's code and end their sign-ins."""
    with book.writing() as connection:
        if held(connection, who.kitchen, person) is None:
            raise NotThere(f"{person} has no code in {who.kitchen}.")
        _still_a_chef(connection, who.kitchen, person, None)
        withdraw(connection, who.kitchen, person, book.clock())


@may(CHEF)
def holders(book: Book, who: Who) -> tuple[Holder, ...]:
    """See who has a code."""
    with book.reading() as connection:
        rows = connection.execute(
            select(codes.c.person, codes.c.role, codes.c.at, codes.c.made_by)
            .where(codes.c.kitchen == who.kitchen, codes.c.withdrawn.is_(None))
            .order_by(codes.c.person)
        ).all()
    return tuple(Holder(p, Role(r), at, by) for p, r, at, by in rows)


def held(connection: Connection, kitchen: str, person: str, *, alone: bool = False) -> Any:
    """The row of somebody's code; None where they have none.

    `alone`: whoever else asks for it so waits until the transaction is over.
    """
    ask = select(codes).where(
        codes.c.kitchen == kitchen, codes.c.person == person, codes.c.withdrawn.is_(None)
    )
    return connection.execute(ask.with_for_update() if alone else ask).first()


def hashed(code: str, salt: str, cost: dict[str, int]) -> str:
    """What is kept of a code."""
    room = 2**20 + 256 * cost["r"] * (cost["n"] + cost["p"])
    return hashlib.scrypt(
        code.encode(), salt=bytes.fromhex(salt), maxmem=room, dklen=32, **cost
    ).hex()


def fits(code: str, row: Any) -> bool:
    """Is it that person's code? As slow for somebody who has none."""
    salt, cost = (row.salt, row.cost) if row is not None else ("00" * 16, COST)
    found = hashed(code, salt, cost)
    return row is not None and hmac.compare_digest(found, row.hash)


def people_of(connection: Connection, kitchen: str) -> dict[str, str]:
    """A kitchen's people by its newest document: ids and names."""
    heads = heads_of(connection, kitchen, ("kitchen",)).values()
    people = [one for head in heads for one in (head.body or {}).get("people", ())]
    return {one["id"]: one.get("name") or one["id"] for one in people}


def withdraw(connection: Connection, kitchen: str, person: str, now: datetime) -> int:
    """End a code, the sign-ins made with it and the waiting; the place of the last one."""
    mine = (codes.c.kitchen == kitchen, codes.c.person == person)
    connection.execute(
        update(codes).where(*mine, codes.c.withdrawn.is_(None)).values(withdrawn=now)
    )
    connection.execute(
        update(sign_ins)
        .where(
            sign_ins.c.kitchen == kitchen,
            sign_ins.c.person == person,
            sign_ins.c.revoked.is_(None),
        )
        .values(revoked=now)
    )
    connection.execute(
        delete(wrong_codes).where(
            wrong_codes.c.kitchen == kitchen, wrong_codes.c.person == person
        )
    )
    return int(connection.execute(select(func.max(codes.c.place)).where(*mine)).scalar() or 0)


def _still_a_chef(
    connection: Connection, kitchen: str, person: str, role: Role | None
) -> None:
    """Once anybody has a code somebody must be able to sign in as chef."""
    rows = connection.execute(
        select(codes.c.person, codes.c.role).where(
            codes.c.kitchen == kitchen, codes.c.person != person, codes.c.withdrawn.is_(None)
        )
    ).all()
    here = people_of(connection, kitchen)  # Whoever has left opens nothing with their code.
    others = [row.role for row in rows if row.person in here]
    if role is Role.CHEF or Role.CHEF in others or (role is None and not others):
        return
    raise BookError(
        f"Nobody could sign in to {kitchen} as chef then. Make a chef's code for somebody first."
    )


def _new_code() -> str:
    while True:
        code = f"{secrets.randbelow(10**DIGITS):0{DIGITS}}"
        if code not in _OBVIOUS and len(set(code)) > 2:
            return code

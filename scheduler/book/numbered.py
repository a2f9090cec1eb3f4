"""Which plan of the book a plan file is, and how it stands to the wall: what paper says of it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Literal

from sqlalchemy import select

from scheduler.book.opening import Book
from scheduler.book.plans import kept_text
from scheduler.book.roles import EVERYBODY, Who, may
from scheduler.book.tables import plans, wall
from scheduler.plan.file import PlanFile

Standing = Literal["hangs", "not yet", "came down", "not kept"]


@dataclass(frozen=True, slots=True)
class Numbered:
    """A plan as the book knows it.

    Attributes
    ----------
    standing : str
        Does it hang on the wall; "not yet": it never has; "not kept": the book has no such plan.
    number : int or None
    hangs : int or None
        What hangs there of its week.
    before : int or None
        Where it hangs: what hung there before it, whose sheets are to be binned.
    """

    standing: Standing = "not kept"
    number: int | None = None
    hangs: int | None = None
    before: int | None = None


@may(EVERYBODY)
def numbered(book: Book, who: Who, file: PlanFile) -> Numbered:
    """Say which plan of the book a plan file is, and whether it is on the wall.

    Parameters
    ----------
    file : PlanFile
        It is known by its text; edited by hand it is another one.
    """
    sha256 = hashlib.sha256(kept_text(file).encode()).hexdigest()
    week = file.scenario.week.id
    there = plans.c.kitchen == who.kitchen, plans.c.week == week, plans.c.sha256 == sha256
    with book.reading() as connection:
        number = connection.execute(select(plans.c.number).where(*there)).scalar()
        up = connection.execute(
            select(wall.c.number, wall.c.down)
            .where(wall.c.kitchen == who.kitchen, wall.c.week == week)
            .order_by(wall.c.place)
        ).all()
    hangs = up[-1].number if up and up[-1].down is None else None
    if number is None:
        return Numbered(hangs=hangs)
    if number != hangs:
        once = any(row.number == number for row in up)
        return Numbered("came down" if once else "not yet", number, hangs)
    earlier = [row.number for row in up if row.number != number]
    return Numbered("hangs", number, hangs, earlier[-1] if earlier else None)

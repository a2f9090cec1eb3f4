"""What must be there before something can hang on it: a week, a plan of it."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Row, select

from scheduler.book.errors import BookError, NotThere
from scheduler.book.proof import as_it_lies, as_saved, plan_damaged
from scheduler.book.tables import plans, revisions
from scheduler.domain.problems import nearest


def week_there(connection: Connection, kitchen: str, week: str) -> bool:
    """See that the book has a week; False where it has been thrown out.

    Raises
    ------
    NotThere
        It has never had one of that id.
    """
    newest = (
        select(revisions.c.body.is_(None).label("gone"))
        .where(
            revisions.c.kitchen == kitchen, revisions.c.kind == "week", revisions.c.id == week
        )
        .order_by(revisions.c.number.desc())
        .limit(1)
    )
    found = connection.execute(newest).first()
    if found is None:
        raise NotThere(no_week(connection, kitchen, week))
    return not found.gone


def no_week(connection: Connection, kitchen: str, week: str) -> str:
    """That there is no such week, and which one was probably meant."""
    ids = select(revisions.c.id).where(
        revisions.c.kitchen == kitchen, revisions.c.kind == "week"
    )
    known = sorted(set(connection.execute(ids).scalars()))
    meant = nearest(week, known)
    maybe = f"Maybe '{meant}'." if meant else "Import it first: `backtime import FOLDER`."
    return f"The book has no week '{week}' in kitchen '{kitchen}'. {maybe}"


def plan_row(
    connection: Connection, kitchen: str, number: int, *columns: Any, week: str | None = None
) -> Row[Any]:
    """The row of a plan.

    Parameters
    ----------
    columns
        Which; left out: all but its text.
    week : str, optional
        The week that it must be of.

    Raises
    ------
    NotThere
        If there is none of that number.
    BookError
        If it is of another week, or its text was asked for and is damaged.
    """
    wanted = columns or [c for c in plans.c if c.name != "body"]
    whole = any(c is plans.c.body for c in wanted)
    asked = select(
        plans.c.week.label("of_week"),
        plans.c.sha256.label("of_text"),
        *(as_it_lies(connection, c) if c is plans.c.body else c for c in wanted),
    )
    row = connection.execute(
        asked.where(plans.c.kitchen == kitchen, plans.c.number == number)
    ).first()
    if row is None:
        raise NotThere(f"The book has no plan {number} of kitchen '{kitchen}'.")
    if week is not None and row.of_week != week:
        raise BookError(f"Plan {number} is of the week '{row.of_week}', not of '{week}'.")
    if whole and not as_saved(row.body, row.of_text):
        raise plan_damaged(number)
    return row

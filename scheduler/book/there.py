"""What must be there before something can hang on it, a week or a plan of it, and what hangs."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Row, select

from scheduler.book.errors import BookError, NotThere
from scheduler.book.proof import as_it_lies, as_saved, plan_damaged
from scheduler.book.tables import plans, revisions, wall
from scheduler.book.telling import no_such


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
        ids = select(revisions.c.id).where(
            revisions.c.kitchen == kitchen, revisions.c.kind == "week"
        )
        raise NotThere(no_such("week", week, connection.execute(ids).scalars()))
    return not found.gone


def hanging_now(connection: Connection, kitchen: str) -> dict[str, Row[Any]]:
    """What is on the wall, as rows of that table by week."""
    up = select(wall).where(wall.c.kitchen == kitchen, wall.c.down.is_(None))
    return {row.week: row for row in connection.execute(up.order_by(wall.c.week))}


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

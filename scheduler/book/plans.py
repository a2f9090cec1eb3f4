"""Plans that are kept: numbered for good, audited when they are, made from known revisions."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, select

from scheduler.book.counting import held, next_number
from scheduler.book.differences import Difference
from scheduler.book.documents import changed_since
from scheduler.book.errors import BookError
from scheduler.book.opening import Book
from scheduler.book.revisions import Numbers, digest, documents_of
from scheduler.book.roles import EVERYBODY, LEADS, Who, may
from scheduler.book.tables import plans, revisions
from scheduler.book.there import plan_row, week_there
from scheduler.domain.scenario import Scenario
from scheduler.plan.file import PlanFile, plan_of, plan_text, verdicts_of

_MOST = 4
"""So many documents are named in a sentence."""


class Unknown(BookError):
    """A plan was made from what the book has never seen."""


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan of the book, without its text.

    Attributes
    ----------
    kitchen, week : str
    number : int
        From 1 in each kitchen, without gaps: what stands large on the sheets.
    sha256 : str
        Of its text, in hex.
    made_from : tuple of (kind, id, number)
        The revisions it was made from, in the order of its scenario.
    valid, served : bool
        What the audit said when it was kept.
    replaces : int or None
        The plan in whose place it was made.
    who : str
    at : datetime
        Who kept it, and when, in UTC.
    """

    kitchen: str
    number: int
    week: str
    sha256: str
    made_from: Numbers
    valid: bool
    served: bool
    replaces: int | None
    who: str
    at: datetime


@may(LEADS)
def keep(book: Book, who: Who, text: str, replaces: int | None = None) -> KeptPlan:
    """Keep plans.

    The audit reads it; what the text says of itself is not trusted, and corrected in what is
    kept. What it was made from is found by what is in it; of one made anew in the middle of its
    week it is what the plan was made from that had broken, as no document says what has happened.
    Kept twice it stays one plan.

    Parameters
    ----------
    text : str
        A plan file, as `backtime plan` writes it.
    replaces : int, optional
        The plan in whose place it was made; left out: the one it names as its parent.

    Raises
    ------
    BadInput
        If it is no plan, or edited into nonsense.
    NotThere
        If the book has no such week, or no plan to replace.
    Unknown
        If it was made from something else than the book has or ever had.
    """
    file = plan_of(text)
    week = file.scenario.week.id
    if file.scenario.kitchen.id != who.kitchen:
        raise BookError(
            f"This plan is of kitchen '{file.scenario.kitchen.id}', and you are in "
            f"'{who.kitchen}'; it was not kept."
        )
    verdicts, kept = verdicts_of(file.report), kept_text(file)
    sha256 = hashlib.sha256(kept.encode()).hexdigest()
    with book.writing() as connection:
        week_there(connection, who.kitchen, week)
        held(connection, who.kitchen, "plan")
        for row in _rows(connection, who.kitchen, week):
            if row.sha256 == sha256:
                return _plan(row)
            if replaces is None and row.sha256 == file.made.parent:
                replaces = row.number
        older = None
        if replaces is not None:
            older = plan_row(connection, who.kitchen, replaces, week=week)
        if file.plan.past is not None and older is not None:
            made_from = _made_from(older)
        else:
            made_from = _revisions_of(connection, who.kitchen, file.scenario)
        one = KeptPlan(
            who.kitchen, next_number(connection, who.kitchen, "plan"), week, sha256, made_from,
            verdicts.valid, verdicts.served, replaces, who.person, book.clock(),
        )  # fmt: skip
        values = {c.name: getattr(one, c.name) for c in plans.c if c.name != "body"}
        connection.execute(plans.insert(), values | {"body": kept})
    return one


def kept_text(file: PlanFile) -> str:
    """The text of a plan as it is kept: what the audit says, not what the file says of itself."""
    return plan_text(file.plan, file.scenario, file.made, verdicts_of(file.report))


@may(EVERYBODY)
def plans_of(book: Book, who: Who, week: str | None = None) -> tuple[KeptPlan, ...]:
    """List the plans that are kept."""
    with book.reading() as connection:
        return tuple(_plan(row) for row in _rows(connection, who.kitchen, week))


@may(EVERYBODY)
def text_of(book: Book, who: Who, number: int) -> str:
    """Read the plan file of a plan.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        return str(plan_row(connection, who.kitchen, number, plans.c.body).body)


@may(EVERYBODY)
def plan(book: Book, who: Who, number: int) -> tuple[KeptPlan, PlanFile]:
    """Read a plan.

    Returns
    -------
    tuple of KeptPlan and PlanFile
        What the book knows of it, and the file; `PlanFile.report` audits it again.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        row = plan_row(connection, who.kitchen, number, *plans.c)
    return _plan(row), plan_of(row.body, f"plan {number}")


@may(LEADS)
def changed_since_made(book: Book, who: Who, number: int) -> tuple[Difference, ...]:
    """Read what has changed since a plan was made; nothing: it is as new as the book.

    Raises
    ------
    NotThere
    """
    with book.reading() as connection:
        numbers = plan_row(connection, who.kitchen, number, plans.c.made_from).made_from
    return changed_since(book, who, numbers)


def _rows(connection: Connection, kitchen: str, week: str | None) -> Iterator[Row[Any]]:
    asked = select(*[c for c in plans.c if c.name != "body"]).where(plans.c.kitchen == kitchen)
    if week is not None:
        asked = asked.where(plans.c.week == week)
    yield from connection.execute(asked.order_by(plans.c.number)).all()


def _plan(row: Row[Any]) -> KeptPlan:
    return KeptPlan(
        row.kitchen, row.number, row.week, row.sha256, _made_from(row), row.valid, row.served,
        row.replaces, row.who, row.at,
    )  # fmt: skip


def _made_from(row: Row[Any]) -> Numbers:
    return tuple((kind, id, number) for kind, id, number in row.made_from)


def _revisions_of(connection: Connection, kitchen: str, scenario: Scenario) -> Numbers:
    """The newest revision of each document that is what the scenario has."""
    wanted = {key: digest(body) for key, body in documents_of(scenario).items()}
    columns = revisions.c.kind, revisions.c.id, revisions.c.number, revisions.c.sha256
    there = select(*columns).where(revisions.c.kitchen == kitchen).order_by(revisions.c.number)
    found = {
        (row.kind, row.id): row.number
        for row in connection.execute(there)
        if wanted.get((row.kind, row.id)) == row.sha256
    }
    strange = [f"{kind} {id}" for kind, id in wanted if (kind, id) not in found]
    if strange:
        more = f" and {len(strange) - _MOST} more" if len(strange) > _MOST else ""
        raise Unknown(
            f"This plan was made from what the book has never had: {', '.join(strange[:_MOST])}"
            f"{more}. Import that first (`backtime import FOLDER`), or plan the week as it is in "
            "the book."
        )
    return tuple((kind, id, found[kind, id]) for kind, id in wanted)

"""Tasks that somebody has said are to stay where they are, whatever is planned anew."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from pydantic import ValidationError
from sqlalchemy import Connection, Row, func, select, update

from scheduler.book.arriving import sentence
from scheduler.book.errors import BookError, NotThere
from scheduler.book.opening import Book
from scheduler.book.revisions import held
from scheduler.book.roles import EVERYBODY, LEADS, Who, may
from scheduler.book.tables import kept_tasks, plans
from scheduler.book.there import plan_row, week_there
from scheduler.domain.problems import nearest
from scheduler.domain.staying import How
from scheduler.plan.file import PlanFile, plan_of


@dataclass(frozen=True, slots=True)
class KeptTask:
    """A task that stays where it is.

    Attributes
    ----------
    kitchen, week, task : str
    place : int
        Which time it was of this task, from 1.
    how : How
    who : str
    at : datetime
    let_go : datetime or None
        When it was let go again, by `let_go_by`.
    """

    kitchen: str
    week: str
    task: str
    place: int
    how: How
    who: str
    at: datetime
    let_go: datetime | None
    let_go_by: str | None


@may(LEADS)
def keep_task(book: Book, who: Who, number: int, task: str, how: dict[str, Any]) -> KeptTask:
    """Keep tasks where they are.

    What was said of the task before is let go in the same moment.

    Parameters
    ----------
    number : int
        The plan in which it is seen.
    task : str
    how : dict
        As `How`: start (a moment with offset), people, equipment.

    Raises
    ------
    NotThere
        There is no such plan, or no such task, person or unit in it.
    BookError
        Nothing is said to stay.
    """
    try:
        said = How.model_validate(how)
    except ValidationError as error:
        raise BookError(sentence(error, "A kept task")) from None
    with book.reading() as connection:
        row = plan_row(connection, who.kitchen, number, plans.c.body, plans.c.week)
    _known(plan_of(row.body, f"plan {number}"), number, task, said)
    if said.start is not None:
        said = said.model_copy(update={"start": said.start.astimezone(UTC)})
    with book.writing() as connection:
        held(connection, who.kitchen)
        at = book.clock()
        _let_go(connection, who, row.week, task, at)
        places = select(func.max(kept_tasks.c.place)).where(*_of(who.kitchen, row.week, task))
        last = connection.execute(places).scalar() or 0
        one = KeptTask(
            who.kitchen, row.week, task, last + 1, said, who.person, at, None, None
        )  # fmt: skip
        values = {c.name: getattr(one, c.name) for c in kept_tasks.c if c.name != "how"}
        body = said.model_dump(mode="json", exclude_defaults=True)
        connection.execute(kept_tasks.insert(), values | {"how": body})
    return one


@may(LEADS)
def let_go(book: Book, who: Who, week: str, task: str) -> None:
    """Let tasks go that were kept where they are.

    Raises
    ------
    NotThere
        It is not kept.
    """
    with book.writing() as connection:
        held(connection, who.kitchen)
        if not _let_go(connection, who, week, task, book.clock()):
            week_there(connection, who.kitchen, week)
            raise NotThere(f"'{task}' of '{week}' is not kept where it is.")


@may(EVERYBODY)
def kept(book: Book, who: Who, week: str, before: bool = False) -> tuple[KeptTask, ...]:
    """See which tasks are kept where they are.

    Parameters
    ----------
    before : bool
        Also those that have been let go.
    """
    asked = select(kept_tasks).where(*_of(who.kitchen, week))
    if not before:
        asked = asked.where(kept_tasks.c.let_go.is_(None))
    with book.reading() as connection:
        rows = connection.execute(asked.order_by(kept_tasks.c.task, kept_tasks.c.place))
        return tuple(_kept(row) for row in rows)


def _known(file: PlanFile, number: int, task: str, how: How) -> None:
    for what, names, known in (
        ("task", (task,), [t.id for t in file.plan.tasks]),
        ("person", how.people, list(file.scenario.person)),
        ("unit", how.equipment, list(file.scenario.unit)),
    ):
        for name in names:
            if name not in known:
                meant = nearest(name, known)
                maybe = f" Maybe '{meant}'." if meant else ""
                raise NotThere(f"Plan {number} has no {what} '{name}'.{maybe}")


def _of(kitchen: str, week: str, task: str | None = None) -> list[Any]:
    found = [kept_tasks.c.kitchen == kitchen, kept_tasks.c.week == week]
    return found if task is None else [*found, kept_tasks.c.task == task]


def _let_go(connection: Connection, who: Who, week: str, task: str, at: datetime) -> int:
    change = update(kept_tasks).where(
        *_of(who.kitchen, week, task), kept_tasks.c.let_go.is_(None)
    )
    return connection.execute(change.values(let_go=at, let_go_by=who.person)).rowcount


def _kept(row: Row[Any]) -> KeptTask:
    return KeptTask(**{**row._asdict(), "how": How.model_validate(row.how)})

"""What hangs on the wall, and what has hung there: one plan of each week, put up and taken down."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, Select, select, update

from scheduler.book.arriving import moment
from scheduler.book.entries import cancelled, of_plan, written
from scheduler.book.errors import BookError, NotThere
from scheduler.book.opening import Book
from scheduler.book.revisions import held
from scheduler.book.roles import EVERYBODY, LEADS, Who, may
from scheduler.book.tables import plans, wall
from scheduler.book.there import hanging_now, plan_row, week_there
from scheduler.plan.file import PlanFile, plan_of
from scheduler.plan.words import several


class NotValid(BookError):
    """A plan that breaks a rule; nobody is to cook from it."""


class Replaced(BookError):
    """Somebody else has put up or taken down a plan meanwhile.

    Attributes
    ----------
    hangs : int or None
        The plan that hangs there now.
    """

    def __init__(self, said: str, hangs: int | None) -> None:
        self.hangs = hangs
        super().__init__(said)


@dataclass(frozen=True, slots=True)
class Hanging:
    """A plan on the wall, now or once.

    Attributes
    ----------
    kitchen, week : str
    place : int
        Which it was of the week's, from 1: their order, whatever clocks said.
    number : int
        The plan's.
    up, down : datetime
        When, in UTC; `down` is None while it hangs.
    up_by, down_by : str
        Who.
    """

    kitchen: str
    week: str
    place: int
    number: int
    up: datetime
    up_by: str
    down: datetime | None
    down_by: str | None


@may(LEADS)
def put_up(book: Book, who: Who, number: int, instead_of: int | None) -> Hanging:
    """Put a plan on the wall.

    What hung there comes down in the same moment and stays in the history. Calendars hear of
    it (`entries`). What hangs there already is left as it is.

    Parameters
    ----------
    number : int
        The plan, of whichever week.
    instead_of : int or None
        The plan that hung there when it was decided; None: nothing did.

    Raises
    ------
    NotThere
    NotValid
        It breaks a rule, by an audit of this moment. Which house rules may be let go, by whom
        and why, is a matter of the week.
    Replaced
        Something else hangs there by now.
    """
    with book.reading() as connection:
        row = plan_row(connection, who.kitchen, number, *plans.c)
    file = plan_of(row.body, f"plan {number}")
    if not file.report.valid:
        raise NotValid(breaks(f"Plan {number}", file))
    new, begins = of_plan(file)
    with book.writing() as connection:
        last = _last(connection, who.kitchen, row.week)
        if not week_there(connection, who.kitchen, row.week):
            raise NotThere(f"The week '{row.week}' was thrown out; bring it back first.")
        now = _hangs(last)
        if last is not None and now == number:
            return _hanging(last)
        _as_expected(last, row.week, instead_of)
        at = book.clock()
        if now is not None:
            _take(connection, who, row.week, at)
        one = Hanging(
            who.kitchen, row.week, last.place + 1 if last else 1, number, at, who.person, None,
            None,
        )  # fmt: skip
        connection.execute(wall.insert(), {c.name: getattr(one, c.name) for c in wall.c})
        written(connection, who.kitchen, row.week, new, begins, number, at)
    return one


@may(LEADS)
def take_down(book: Book, who: Who, week: str, number: int) -> Hanging:
    """Take a plan off the wall.

    Calendars hear that everything in it is cancelled that is not over yet.

    Parameters
    ----------
    number : int
        The plan that hung there when it was decided.

    Raises
    ------
    NotThere
        Nothing hangs there.
    Replaced
        Something else hangs there by now.
    """
    with book.writing() as connection:
        last = _last(connection, who.kitchen, week)
        if last is None or last.down is not None:
            week_there(connection, who.kitchen, week)
            raise NotThere(f"No plan of '{week}' is on the wall.")
        _as_expected(last, week, number)
        at = book.clock()
        _take(connection, who, week, at)
        cancelled(connection, who.kitchen, week, number, at)
        row = _last(connection, who.kitchen, week)
        assert row is not None
        return _hanging(row)


@may(EVERYBODY)
def hanging(book: Book, who: Who, week: str | None = None) -> tuple[Hanging, ...]:
    """See what hangs on the wall now."""
    with book.reading() as connection:
        found = hanging_now(connection, who.kitchen).values()
    return tuple(_hanging(row) for row in found if week in (None, row.week))


@may(EVERYBODY)
def hung(book: Book, who: Who, at: datetime, week: str | None = None) -> tuple[Hanging, ...]:
    """See what hung on the wall at a moment.

    By the clock of that time; where it was set back and so two hung there by it, the later.

    Parameters
    ----------
    at : datetime
        Aware.

    Raises
    ------
    BookError
        It has no zone, so nobody knows which moment it is.
    """
    at = moment(at)
    found: dict[str, Hanging] = {}
    with book.reading() as connection:
        for row in connection.execute(_of(who.kitchen, week)):
            if row.up <= at and (row.down is None or at < row.down):
                found[row.week] = _hanging(row)
    return tuple(found.values())


@may(EVERYBODY)
def hung_before(book: Book, who: Who, week: str) -> tuple[Hanging, ...]:
    """See everything that has hung on the wall, first to last.

    Raises
    ------
    NotThere
        The book has no such week.
    """
    with book.reading() as connection:
        found = tuple(_hanging(row) for row in connection.execute(_of(who.kitchen, week)))
        if not found:
            week_there(connection, who.kitchen, week)
    return found


def _of(kitchen: str, week: str | None) -> Select[Any]:
    asked = select(wall).where(wall.c.kitchen == kitchen)
    if week is not None:
        asked = asked.where(wall.c.week == week)
    return asked.order_by(wall.c.week, wall.c.place)


def _last(connection: Connection, kitchen: str, week: str) -> Row[Any] | None:
    """What was put up last; nobody else puts anything up until the transaction ends."""
    held(connection, kitchen)
    newest = _of(kitchen, week).order_by(None).order_by(wall.c.place.desc()).limit(1)
    return connection.execute(newest).first()


def _hangs(last: Row[Any] | None) -> int | None:
    return None if last is None or last.down is not None else int(last.number)


def _take(connection: Connection, who: Who, week: str, at: datetime) -> None:
    connection.execute(
        update(wall)
        .where(wall.c.kitchen == who.kitchen, wall.c.week == week, wall.c.down.is_(None))
        .values(down=at, down_by=who.person)
    )


def _as_expected(last: Row[Any] | None, week: str, expected: int | None) -> None:
    """Refuse whoever decided while something else hung there."""
    now = _hangs(last)
    if now == expected:
        return
    when = "nothing hung there" if expected is None else f"plan {expected} hung there"
    if last is None:
        happened = "nothing has hung there yet"
    elif now is None:
        happened = f"{last.down_by} took plan {last.number} down ({last.down:%Y-%m-%d %H:%M} UTC)"
    else:
        happened = f"{last.up_by} put up plan {now} ({last.up:%Y-%m-%d %H:%M} UTC)"
    raise Replaced(
        f"You decided for '{week}' when {when}, and by now {happened}. The wall was left as "
        "it is; look at it and decide again.",
        now,
    )


def breaks(plan: str, file: PlanFile) -> str:
    """Why a plan that is not VALID does not go on the wall.

    Parameters
    ----------
    plan : str
        What it is called.
    """
    first = file.report.findings[0]
    more = len(file.report.findings) - 1
    return (
        f"{plan} does not go on the wall: {first.where}: {first.what} ({first.rule})"
        + (f", and {several(more, 'finding')} more" if more else "")
        + ". Plan again; a house rule may be let go in the week, by name and with the reason."
    )


def _hanging(row: Row[Any]) -> Hanging:
    return Hanging(
        row.kitchen, row.week, row.place, row.number, row.up, row.up_by, row.down, row.down_by
    )

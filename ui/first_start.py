"""The first start: a book without a kitchen gets the demo, already planned and on the wall."""

from __future__ import annotations

from collections.abc import Callable

from scheduler.book.exchange import import_week
from scheduler.book.jobs import find_gone
from scheduler.book.listing import kitchens
from scheduler.book.opening import Book
from scheduler.book.plans import keep
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import put_up
from scheduler.domain.finding import shipped_plan, shipped_week
from scheduler.domain.reading import read_written
from scheduler.domain.scenario import Scenario
from scheduler.plan.file import plan_of
from scheduler.plan.words import several
from scheduler.solve.request import Request
from scheduler.solve.running import Job, follow
from ui.arriving import NOBODY

DEMO = "demo"
_SECONDS = 20
"""That planning the demo is given, where the plan that comes with it is not of it any more."""


def begin(book: Book, person: str, tell: Callable[[str], None]) -> None:
    """Get a book ready to be looked at.

    Parameters
    ----------
    person : str
        Who has given the command.
    tell : callable
        What is going on, for whoever waits.
    """
    there = kitchens(book, NOBODY)
    if not there:
        _demo(book, person, tell)
    for kitchen in there:
        gone = find_gone(book, Who(kitchen.id, person, Role.CHEF))
        if gone:
            tell(f"{several(len(gone), 'search', 'searches')} had ended without a word: noted.")


def _demo(book: Book, person: str, tell: Callable[[str], None]) -> None:
    tell("The book is empty: the demo comes in, a week to try things on.")
    week, files = read_written(shipped_week(DEMO))
    who = Who(week.kitchen.id, person, Role.CHEF)
    text = _shipped(week)
    if text is None:
        tell(f"Planning it first, {_SECONDS} s …")
        text = _planned(week)
    import_week(book, who, week, files)
    if text is None:
        tell("No plan of it was found; plan it in the app.")
        return
    kept = keep(book, who, text)
    if kept.valid:
        put_up(book, who, kept.number, None)


def _shipped(week: Scenario) -> str | None:
    """The plan that comes with the demo, if it is of exactly this week."""
    path = shipped_plan(DEMO)
    if path is None:
        return None
    text = path.read_text(encoding="utf-8")
    file = plan_of(text, path.name)
    fits = file.scenario.sha256() == week.sha256() and file.report.valid
    return text if fits else None


def _planned(week: Scenario) -> str | None:
    with Job.start() as job:
        job.ask(Request(scenario=week.document(), seconds=_SECONDS))
        if follow(job, lambda _: None).interrupted:
            raise KeyboardInterrupt
        return None if job.plan is None else job.plan.read_text(encoding="utf-8")

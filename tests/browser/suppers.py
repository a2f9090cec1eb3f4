"""A book with one supper in it, planned, for tests that change it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from scheduler.book import plans
from scheduler.book.exchange import import_week
from scheduler.book.opening import open_book
from scheduler.book.role import Role
from scheduler.book.roles import Who
from scheduler.book.wall import put_up
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_written
from scheduler.plan.audit import audit
from scheduler.plan.file import Made, plan_text, verdicts_of
from scheduler.solve.engine import plan_week
from tests.browser.opened import where


def supper(folder: Path, name: str = "") -> None:
    """Put the supper of first-week into the book of a folder, and its plan on the wall.

    Parameters
    ----------
    name : str, optional
        What everything in it is called that has a name, with a number behind it.
    """
    written = find_scenario("first-week")
    if name:
        document = read_written(written)[0].document()
        named(document, name)
        written = folder / "written"
        written.mkdir()
        (written / "week.yaml").write_text(json.dumps(document), encoding="utf-8")
    week, files = read_written(written)
    plan = plan_week(week, seconds=0.2, deterministic=True)
    who = Who(week.kitchen.id, "ines", Role.CHEF)
    book = open_book(where(folder))
    try:
        import_week(book, who, week, files)
        text = plan_text(plan, week, Made(), verdicts_of(audit(week, plan)))
        put_up(book, who, plans.keep(book, who, text).number, None)
    finally:
        book.close()


def named(document: dict[str, Any], name: str) -> None:
    """Give everything of a written week a name, with a number behind it."""
    kitchen, week = document["kitchen"], document["week"]
    several = [*kitchen["sections"], *kitchen["people"], *kitchen["equipment"], *kitchen["stores"]]
    several += [*document["components"], *document["dishes"], *week["events"]]
    several += [s for c in document["components"] for s in c["steps"]]
    for number, one in enumerate((kitchen, week, *several), start=10):
        one["name"] = f"{name}{number}"

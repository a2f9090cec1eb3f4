"""What SCENARIO means at the command line: a folder, a shipped name, or a week of the book."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario


def read_week(name: str) -> Scenario:
    """Read a scenario.

    Parameters
    ----------
    name : str
        A folder, a shipped name, `stored:WEEK` or `stored:KITCHEN/WEEK`.

    Raises
    ------
    BadInput, BookError
    """
    from scheduler.domain.finding import STORED, find_scenario
    from scheduler.domain.reading import read_scenario

    if not name.startswith(STORED):
        return read_scenario(find_scenario(name))
    from scheduler.book.documents import scenario
    from scheduler.commands.book import the_book, the_week

    kitchen, _, week = name.removeprefix(STORED).rpartition("/")
    with the_book() as book:
        return scenario(book, the_week(book, week, kitchen or None), week)

"""`import` and `export`: between a folder and the book."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from scheduler.book.differences import Difference
from scheduler.book.exchange import Ahead, Imported, export_week, import_week
from scheduler.commands.book import the_book, the_chef, the_week
from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say, say_all, tell
from scheduler.domain.finding import find_scenario
from scheduler.domain.reading import read_written
from scheduler.plan.words import several

_MOST = 40
"""Differences that are shown."""


def bring_in(scenario: str, over: bool) -> Exit:
    """Read a folder and save what is in it."""
    week, files = read_written(find_scenario(scenario))
    with the_book(begin=True) as book:
        who = the_chef(week.kitchen.id)
        try:
            done = import_week(book, who, week, files, over=over)
        except Ahead as ahead:
            say_all(_told(ahead.differences))
            tell(str(ahead))
            return Exit.BAD_INPUT
        say_all(_lines(done, week.week.id, book.where))
    return Exit.FINE


def take_out(week: str, folder: Path, kitchen: str | None, over: bool) -> Exit:
    """Write a week of the book into a folder."""
    with the_book() as book:
        done = export_week(book, the_week(book, week, kitchen), week, folder, over=over)
    if not done.put.new:
        say(f"{folder} is as it was exported before; nothing had to be written.")
        return Exit.FINE
    made = several(len(done.as_imported) + len(done.anew), "file")
    kept = f", {len(done.as_imported)} with the text they were imported with"
    say(f"Written to {folder}: {made}{kept if done.as_imported else ''}.")
    if done.put.aside is not None:
        say(f"What no export had written is in {done.put.aside}.")
    return Exit.FINE


def _lines(done: Imported, week: str, where: str) -> Iterator[str]:
    if not (done.new or done.changed or done.kept):
        yield f"Nothing to import: the book {where} has all of it already."
        return
    recipes = sum(kind in ("component", "dish") for kind, _ in done.new)
    others = [f"{kind} {id}" for kind, id in done.new if kind in ("kitchen", "week")]
    new = [*others, *([several(recipes, "recipe")] if recipes else [])]
    if new:
        yield f"New in the book {where}: {', '.join(new)}."
    if done.changed:
        yield f"Changed in the book {where}:"
        yield from _told(done.changed)
    if not (new or done.changed):
        yield f"The recipes are those of the book {where} already; the files' text is kept anew."
    if done.besides:
        few = several(len(done.besides), "recipe")
        yield f"{few} of the book not in this folder: they stay."
    yield f"Plan it: backtime plan stored:{week}"


def _told(differences: Iterable[Difference]) -> Iterator[str]:
    every = list(differences)
    yield from (f"  {one.says}" for one in every[:_MOST])
    if every[_MOST:]:
        yield f"  and {len(every) - _MOST} more"

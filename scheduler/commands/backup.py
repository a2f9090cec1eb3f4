"""`backup`, `restore` and `book`: the whole book in a file, back again, and what is in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from scheduler.book.archive import Manifest
from scheduler.book.backup import backup as back_up
from scheduler.book.lately import last, note
from scheduler.book.opening import is_there, unmade
from scheduler.book.overview import KitchenThere, Overview, overview
from scheduler.book.restore import restore as put_back
from scheduler.book.telling import document
from scheduler.commands.book import no_book, the_book, the_chef
from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say, say_all
from scheduler.plan.words import several

_UNITS = ((10**9, "GB"), (10**6, "MB"), (10**3, "kB"))


def backup(file: Path, with_secrets: bool) -> Exit:
    """Write the whole book into one file."""
    with the_book() as book:
        made = back_up(book, the_chef(""), file, with_secrets=with_secrets)
        note(book.where, file, made.at)
    say(f"Written to {file}: {several(made.rows, 'row')}, read again and found whole.")
    say(_secrets(made))
    return Exit.FINE


def restore(file: Path) -> Exit:
    """Restore a file into an empty book."""
    book = unmade()
    try:
        made = put_back(book, the_chef(""), file)
        say(
            f"Restored to {book.where}: {several(made.rows, 'row')}, "
            f"as they were on {_when(made.at)}."
        )
    finally:
        book.close()
    say(_secrets(made))
    return Exit.FINE


def page() -> Exit:
    """What there is in the book."""
    if not is_there():
        say(no_book())
        return Exit.FINE
    with the_book() as book:
        say_all(_lines(overview(book, the_chef(""))))
    return Exit.FINE


def _secrets(made: Manifest) -> str:
    if made.secrets:
        return (
            "Codes and sign-ins are inside: whoever has the file can try codes at leisure. "
            "Keep it where only the chef can read it."
        )
    return "No codes and no sign-ins are inside: after restoring, the chef makes new codes."


def _lines(all_: Overview) -> Iterator[str]:
    size = "" if all_.size is None else f", {_amount(all_.size)}"
    yield f"{all_.where} (shape {all_.shape}{size})"
    made = last(all_.where)
    if made is None:
        yield "Not backed up from this machine yet: backtime backup FILE.zip"
    else:
        file, at = made
        gone = "" if file.exists() else ", which is not there any more"
        yield f"Last backed up on {_when(at)} to {file}{gone}"
    if not all_.kitchens:
        yield "Nothing is in it yet: backtime import FOLDER"
    for kitchen in all_.kitchens:
        yield ""
        yield from _kitchen(kitchen)


def _kitchen(one: KitchenThere) -> Iterator[str]:
    recorded = several(one.recorded, "entry", "entries")
    yield f"{one.id}: {several(one.recipes, 'recipe')}, {recorded} in the record"
    if one.last is not None:
        what = document(one.last.kind, one.last.id)
        yield (
            f"  last saved: {what}, revision {one.last.number}, by {one.last.who}, "
            f"{_when(one.last.at)}"
        )
    for week in one.weeks:
        name = "" if week.name == week.id else f" ({week.name})"
        yield (
            f"  {week.id}{name}, {week.starts:%Y-%m-%d} to {week.ends:%Y-%m-%d}, revision "
            f"{week.number}, {several(week.plans, 'plan')}, "
            + ("nothing on the wall" if week.up is None else f"plan {week.up} is on the wall")
        )


def _when(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M} UTC"


def _amount(size: int) -> str:
    return next((f"{size / n:.1f} {u}" for n, u in _UNITS if size >= n), f"{size} bytes")

"""`backup`, `restore` and `book`: the whole book in a file, back again, and what is in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from scheduler.book.archive import Manifest
from scheduler.book.backup import backup as back_up
from scheduler.book.codes import holders
from scheduler.book.lately import last, note
from scheduler.book.listing import kitchens
from scheduler.book.opening import is_there, unmade
from scheduler.book.overview import KitchenThere, Overview, overview
from scheduler.book.proof import document_damaged
from scheduler.book.restore import restore as put_back
from scheduler.book.telling import document
from scheduler.commands.book import no_book, the_book, the_chef
from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say, say_all, tell
from scheduler.plan.words import several

_MOST = 8
"""So many damaged documents are named."""
_UNITS = ((10**9, "GB"), (10**6, "MB"), (10**3, "kB"))


def backup(file: Path, with_secrets: bool) -> Exit:
    """Write the whole book into one file."""
    with the_book() as book:
        made = back_up(book, the_chef(""), file, with_secrets=with_secrets)
        if not made.damaged:
            note(book.where, file, made.at)
    if made.damaged:
        say(f"Written to {file}: {several(made.rows, 'row')}, with what is damaged in the book.")
    else:
        say(f"Written to {file}: {several(made.rows, 'row')}, read again and found whole.")
    say(_secrets(made))
    return _damaged(made)


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
    if made.secrets:
        say_all(_codes(made.at))
    return _damaged(made)


def _codes(at: datetime) -> Iterator[str]:
    """Whose codes of then are valid again, whatever has become of them since."""
    yield "Everybody is signed out."
    with the_book() as book:
        for kitchen in kitchens(book, the_chef("")):
            valid = [
                f"{h.person} ({h.role}, code of {_when(h.since)})"
                for h in holders(book, the_chef(kitchen.id))
            ]
            if valid:
                yield (
                    f"Valid again in {kitchen.id}, as on {_when(at)}: {', '.join(valid)}. Whoever "
                    "has lost theirs since: backtime code PERSON --withdraw."
                )


def page() -> Exit:
    """What there is in the book."""
    if not is_there():
        say(no_book())
        return Exit.FINE
    with the_book() as book:
        say_all(_lines(overview(book, the_chef(""))))
    return Exit.FINE


def _damaged(made: Manifest) -> Exit:
    """Say what in a backup was damaged in the book already."""
    if not made.damaged:
        return Exit.FINE
    few = ", ".join(made.damaged[:_MOST]) + (" and more" if made.damaged[_MOST:] else "")
    tell(
        f"Damaged in the book, and so in this backup: {few}. Keep the last good backup; "
        "all else is whole. A newest revision can be saved anew: `backtime import FOLDER`."
    )
    return Exit.BROKEN


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
        yield "There is no kitchen in it: backtime import FOLDER"
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
    for bad in one.damaged:
        yield f"  {document_damaged(bad.kind, bad.id, bad.number)}"
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

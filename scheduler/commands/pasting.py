"""`paste`: a table of a spreadsheet into the book."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from scheduler.book.differences import Difference, differences
from scheduler.book.documents import heads, save, would_change
from scheduler.book.errors import BookError
from scheduler.book.listing import weeks
from scheduler.book.opening import Book
from scheduler.book.revisions import Change, Revision
from scheduler.book.roles import Who
from scheduler.book.telling import document
from scheduler.commands.book import the_book, the_chef, the_kitchen, the_week
from scheduler.commands.codes import Exit, Stop
from scheduler.commands.extra import needs
from scheduler.commands.terminal import say, say_all, tell
from scheduler.domain.problems import BadInput
from scheduler.pasted.documents import Body, Key, Made, made
from scheduler.pasted.grid import Grid, pasted
from scheduler.pasted.what import What
from scheduler.plan.words import several

_MOST = 40
"""Differences that are shown."""


def paste(
    what: What, file: str, week: str | None, kitchen: str | None, page: str | None, only_look: bool
) -> Exit:
    """Read a table and save what it says; all of it or nothing."""
    grid = _grid(file, page)
    with the_book() as book:
        who, of = _whose(book, what, week, kitchen)
        there: dict[Key, Revision] = {(r.kind, r.id): r for r in heads(book, who)}
        bodies: dict[Key, Body] = {key: r.body or {} for key, r in there.items()}
        found = made(what, grid, bodies, of)
        changes = [
            Change(key[0], key[1], body, there[key].number if key in there else 0)  # type: ignore[arg-type]
            for key, body in found.bodies.items()
        ]
        try:
            if only_look:
                changed = would_change(book, who, changes, of or None)
            else:
                changed = tuple(
                    d for r in save(book, who, changes, of or None)
                    for d in differences(bodies.get(r.key), r.body, document(*r.key))
                )  # fmt: skip
        except BadInput as bad:
            raise found.by_rows(bad, grid.source, {document(*k): k for k in found.rows}) from None
        _told(changed, found, only_look)
    return Exit.FINE


def _told(changed: Sequence[Difference], found: Made, only_look: bool) -> None:
    say(found.says)
    say_all(found.notes)
    if found.unused:
        say(f"Not used: {', '.join(found.unused)}.")
    if not changed:
        say("The book says just that already.")
        return
    say_all(f"  {one.says}" for one in changed[:_MOST])
    if changed[_MOST:]:
        say(f"  and {len(changed) - _MOST} more")
    count = several(len(changed), "change")
    say(f"{count}, none saved: leave out --look." if only_look else f"Saved: {count}.")


def _whose(book: Book, what: What, week: str | None, kitchen: str | None) -> tuple[Who, str]:
    """Who pastes, and into which week; none where that does not matter."""
    if week is not None:
        return the_week(book, week, kitchen), week
    who = the_chef(the_kitchen(book, kitchen))
    if what not in (What.COUNTS, What.GUESTS):
        return who, ""
    there = [one.id for one in weeks(book, who)]
    if len(there) != 1:
        names = " | ".join(there) or "none yet"
        raise BookError(f"{what.capitalize()} are of one week; say which: --week {names}.")
    return who, there[0]


def _grid(file: str, page: str | None) -> Grid:
    """The cells of a file, by what is in it; `-`: of standard input."""
    name = "standard input" if file == "-" else Path(file).name
    try:
        raw = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        tell(f"{file} cannot be read ({why}).")
        raise Stop(Exit.BAD_INPUT) from None
    if raw[:2] == b"PK" or raw[:4] == b"\xd0\xcf\x11\xe0" or name.lower().endswith(".xlsx"):
        needs("openpyxl")
        from scheduler.pasted.spreadsheet import opened

        return opened(raw, name, page)
    if page is not None:
        tell(f"{name} is no workbook, so it has no page '{page}'.")
        raise Stop(Exit.BAD_INPUT)
    try:
        return pasted(raw.decode("utf-8-sig"), name)
    except UnicodeDecodeError:
        if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):  # "Unicode text" of some programs
            return pasted(raw.decode("utf-16", "replace"), name)
        tell(f"{name} is neither a workbook nor text in UTF-8.")
        raise Stop(Exit.BAD_INPUT) from None

"""`sheet --pdf` and `--xlsx`: paper with the plan's number and a code, and a workbook."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import replace
from functools import partial
from pathlib import Path

from scheduler.book.address import ADDRESS
from scheduler.book.address import address as address_of
from scheduler.book.errors import NotThere
from scheduler.book.links import sheet_link
from scheduler.book.listing import kitchens
from scheduler.book.numbered import Numbered, numbered
from scheduler.book.opening import is_there, wall_clock
from scheduler.book.record import record_of
from scheduler.book.recording import in_words
from scheduler.book.standing import Recorded
from scheduler.commands.book import the_book, the_chef
from scheduler.commands.codes import Exit
from scheduler.commands.extra import needs
from scheduler.commands.sheet import NOTHING, Wanted, broken, put, sheets_of, warn_of
from scheduler.commands.terminal import say, tell
from scheduler.outputs.paper.size import Paper
from scheduler.outputs.paper.stamp import Stamp, linking, stamp_of
from scheduler.outputs.sheet import Sheets
from scheduler.plan.file import PlanFile, read_plan
from scheduler.plan.words import several


def print_pdf(path: Path, wanted: Wanted, to: Path, paper: Paper, address: str | None) -> Exit:
    """Sheets of sections or people, each on pages of its own."""
    needs("reportlab", "segno")
    from scheduler.outputs.paper.printing import print_sheets

    file = read_plan(path)
    sheets = Sheets(file.scenario, file.plan)
    found = sheets_of(sheets, wanted)
    if not found:
        say(NOTHING)
        return Exit.FINE
    with _stamped(file, address) as stamp:
        one = print_sheets(sheets, found, stamp, paper)
    put(to, one.pdf)
    what = f"{several(len(found), 'sheet')} on {several(one.pages, 'page')}"
    _tell(file, stamp, what, to, one.warnings)
    return Exit.FINE


def print_wall_sheet(path: Path, to: Path, paper: Paper, address: str | None) -> Exit:
    """The wall sheet of the whole plan."""
    needs("reportlab", "segno")
    from scheduler.outputs.paper.printing import print_wall

    file = read_plan(path)
    with _stamped(file, address) as stamp:
        one = print_wall(Sheets(file.scenario, file.plan), stamp, paper)
    put(to, one.pdf)
    _tell(file, stamp, f"The wall sheet on {several(one.pages, 'page')}", to, one.warnings)
    return Exit.FINE


def write_workbook(path: Path, to: Path) -> Exit:
    """The whole plan as a workbook, with the record where the book has one."""
    needs("openpyxl")
    from scheduler.outputs.workbook.pages import workbook_of

    file = read_plan(path)
    record = _record(file)
    put(to, workbook_of(Sheets(file.scenario, file.plan), record))
    warn_of(file)
    noted = f", and {several(len(record), 'entry', 'entries')} of the record" if record else ""
    say(f"Plan, sheets and quantities in {to}{noted}.")
    return Exit.FINE


def _record(file: PlanFile) -> list[tuple[Recorded, str]]:
    """What was entered for the week of a plan, as far as the book has it."""
    if not is_there():
        return []
    with the_book() as book, suppress(NotThere):
        entries = record_of(book, the_chef(file.scenario.kitchen.id), file.scenario.week.id)
        return [(one, in_words(one.kind, one.body)) for one in entries]
    return []


@contextmanager
def _stamped(file: PlanFile, address: str | None) -> Iterator[Stamp]:
    """What the paper says of the plan; the book is open as long as codes are made."""
    where = address_of(address)
    kitchen, clock = file.scenario.kitchen.id, file.scenario.clock
    known, link, now = Numbered(), None, wall_clock()
    with ExitStack() as stack:
        if is_there():
            book = stack.enter_context(the_book())
            who = the_chef(kitchen)
            if any(one.id == kitchen for one in kitchens(book, who)):
                known, now = numbered(book, who, file), book.clock()
            if where is not None and known.number is not None:
                signed = partial(sheet_link, book, who, known.number)
                link = linking(where, signed, clock.last_day)
        stamp = stamp_of(
            now.astimezone(clock.zone), known.standing, known.number, known.hangs, known.before,
            broken(file),
        )  # fmt: skip
        yield replace(stamp, link=link)


def _tell(file: PlanFile, stamp: Stamp, what: str, to: Path, warnings: tuple[str, ...]) -> None:
    warn_of(file)
    bins = f" {stamp.bin_it}" if stamp.bin_it else ""
    say(f"{what} in {to}, {stamp.plan.replace('No number', 'without a number')}.{bins}")
    for warning in warnings:
        tell(warning)
    if stamp.warning and file.report.valid:
        tell(stamp.warning)
    if stamp.number is not None and stamp.link is None:
        tell(f"There is no code on it for phones: {ADDRESS} or --address says where they look.")

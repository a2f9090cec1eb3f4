"""The command `sheet`: what a section or somebody does on a day, as text."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.commands.codes import Exit
from scheduler.commands.terminal import say, say_all, tell

if TYPE_CHECKING:
    from scheduler.outputs.sheet import Sheet, Sheets


def sheet(path: Path, section: str | None, person: str | None, day: str | None) -> Exit:
    """A sheet, or all there are of a section, of somebody, or of a day."""
    from scheduler.outputs.plain import plain
    from scheduler.outputs.sheet import NoSuchSheet, Sheets
    from scheduler.plan.file import read_plan

    file = read_plan(path)
    sheets = Sheets(file.scenario, file.plan)
    try:
        wanted = list(_wanted(sheets, section, person, _day(sheets, day)))
    except NoSuchSheet as refused:
        tell(str(refused))
        return Exit.BAD_INPUT
    if not file.report.valid:
        rules = ", ".join(sorted({f.rule for f in file.report.findings}))
        say(f"Do not cook from this plan: it breaks {rules}. See `backtime audit`.\n")
    for n, one in enumerate(wanted):
        say_all(["", "=" * 80, ""] if n else [])
        say_all(plain(sheets.names, one))
    if not wanted:
        say("There is nothing to do in this plan.")
    return Exit.FINE


def _day(sheets: Sheets, written: str | None) -> date | None:
    from scheduler.outputs.sheet import NoSuchSheet

    if written is None:
        return None
    try:
        return date.fromisoformat(written)
    except ValueError:
        days = ", ".join(str(d) for d in sheets.days) or "none"
        raise NoSuchSheet(
            f"'{written}' is no day like '2026-12-04'. There is something to do on: {days}."
        ) from None


def _wanted(
    sheets: Sheets, section: str | None, person: str | None, day: date | None
) -> Iterator[Sheet]:
    """One where all of it is said; otherwise those with something on them."""
    days = sheets.days if day is None else (day,)
    if person is not None or section is not None:
        every = [
            sheets.of_section(section, d) if section is not None
            else sheets.of_person(person or "", d)
            for d in days
        ]  # fmt: skip
    else:
        every = [sheets.of_section(s, d) for d in days for s in sheets.sections]
    alone = day is not None and len(every) == 1
    yield from (one for one in every if one.lines or alone)


def calendar_of(path: Path, person: str, to: Path) -> Exit:
    """Somebody's jobs of the whole week as a file for their calendar; said as the plan was written.

    Its stamp is the plan file's time: of two files the one of the later plan holds.
    """
    from scheduler.outputs.calendar import calendar, planned
    from scheduler.outputs.sheet import NoSuchSheet, Sheets
    from scheduler.plan.atomic import write_atomically
    from scheduler.plan.file import read_plan
    from scheduler.plan.words import several

    file = read_plan(path)
    sheets, scenario = Sheets(file.scenario, file.plan), file.scenario
    try:
        found = planned(sheets, person)
    except NoSuchSheet as refused:
        tell(str(refused))
        return Exit.BAD_INPUT
    stamp = datetime.fromtimestamp(int(path.stat().st_mtime), UTC)
    name = f"{sheets.names.person(person)}, {scenario.week.name or scenario.week.id}"
    text = calendar(found.values(), scenario.kitchen.zone, stamp, name)
    try:
        write_atomically(to, text.decode("utf-8"))
    except OSError as error:
        tell(f"{to} cannot be written ({(error.strerror or str(error)).lower()}).")
        return Exit.BAD_INPUT
    if not file.report.valid:
        rules = ", ".join(sorted({f.rule for f in file.report.findings}))
        say(f"Do not cook from this plan: it breaks {rules}. See `backtime audit`.")
    say(f"{several(len(found), 'job')} of {sheets.names.person(person)} in {to}.")
    return Exit.FINE

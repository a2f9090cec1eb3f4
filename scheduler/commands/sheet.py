"""The command `sheet`: what a section or somebody does on a day, as text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.commands.codes import Exit, Stop
from scheduler.commands.terminal import say, say_all, tell

if TYPE_CHECKING:
    from scheduler.outputs.sheet import Sheet, Sheets
    from scheduler.plan.file import PlanFile

NOTHING = "There is nothing to do in this plan."


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which sheets: of a section, of a person, of a day; of all where nothing is said."""

    section: str | None = None
    person: str | None = None
    day: str | None = None


def sheet(path: Path, wanted: Wanted) -> Exit:
    """A sheet, or all there are of a section, of somebody, or of a day."""
    from scheduler.outputs.plain import plain
    from scheduler.outputs.sheet import Sheets
    from scheduler.plan.file import read_plan

    file = read_plan(path)
    sheets = Sheets(file.scenario, file.plan)
    found = sheets_of(sheets, wanted)
    warn_of(file, "\n")
    for n, one in enumerate(found):
        say_all(["", "=" * 80, ""] if n else [])
        say_all(plain(sheets.names, one))
    if not found:
        say(NOTHING)
    return Exit.FINE


def sheets_of(sheets: Sheets, wanted: Wanted) -> list[Sheet]:
    """The sheets that are wanted; those of all only where something is on them.

    Raises
    ------
    Stop
        There is none like that, which is told.
    """
    from scheduler.outputs.sheet import NoSuchSheet

    try:
        day = _day(sheets, wanted.day)
        return list(_wanted(sheets, wanted.section, wanted.person, day))
    except NoSuchSheet as refused:
        tell(str(refused))
        raise Stop(Exit.BAD_INPUT) from None


def warn_of(file: PlanFile, more: str = "") -> None:
    """Say that nobody is to cook from a plan that breaks a rule."""
    if not file.report.valid:
        rules = ", ".join(broken(file))
        say(f"Do not cook from this plan: it breaks {rules}. See `backtime audit`.{more}")


def broken(file: PlanFile) -> list[str]:
    """The rules that a plan breaks."""
    return sorted({f.rule for f in file.report.findings})


def put(to: Path, content: str | bytes) -> None:
    """Write a file.

    Raises
    ------
    Stop
        It cannot be written, which is told.
    """
    from scheduler.plan.atomic import write_atomically

    try:
        write_atomically(to, content)
    except OSError as error:
        tell(f"{to} cannot be written ({(error.strerror or str(error)).lower()}).")
        raise Stop(Exit.BAD_INPUT) from None


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
    put(to, text)
    warn_of(file)
    say(f"{several(len(found), 'job')} of {sheets.names.person(person)} in {to}.")
    return Exit.FINE

"""A sheet as plain text, 80 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from datetime import date

from scheduler.domain.base import Slug
from scheduler.domain.limits import DEFER
from scheduler.outputs.lines import Line
from scheduler.outputs.quarters import By
from scheduler.outputs.sheet import Sheet
from scheduler.plan.minding import cautions
from scheduler.plan.words import SAFETY, Names, about, clean, day_words, fit, several

COLUMNS = 80
_TIMES = "  {:<8} {:<11} "
_BELOW = 23


def plain(names: Names, sheet: Sheet) -> Iterator[str]:
    """The lines of a sheet: `by` a time that may come sooner, `at` one that may not."""
    yield fit(f"{sheet.title}, {day_words(sheet.day)}", COLUMNS)
    there = (
        f"{names.person(p)} {names.clock(a)}-{names.clock(z)}" for p, a, z in sheet.people
    )
    yield from _wrapped(", ".join(there), 2)
    yield from _wrapped("; ".join(sheet.notes), 2)
    yield from _headed("Deliveries", _deliveries(names, sheet))
    said: set[Slug] = set()
    boxed = [row for line in sheet.apart for row in _job(names, sheet, line, said, boxed=True)]
    if boxed:
        diets = ", ".join(dict.fromkeys(d for line in sheet.apart for d in line.diets))
        yield ""
        edge = "+" + "-" * (COLUMNS - 2) + "+"
        yield edge
        yield from (f"| {fit(row, COLUMNS - 4)}" for row in _wrapped(
            f"FIRST AND APART: {diets}", 0))  # fmt: skip
        yield from (f"|{row}" for row in boxed)
        yield edge
    jobs = [row for line in sheet.others for row in _job(names, sheet, line, said)]
    yield from _headed("Jobs", jobs or ["  Nothing."])
    yield from _headed("Before we leave tonight", _short(names, sheet, sheet.tonight))
    yield from _headed("Overnight, by itself", _overnight(names, sheet))
    yield from _headed("First thing tomorrow", _short(names, sheet, sheet.tomorrow))
    yield ""
    if sheet.limited:
        yield from _wrapped(DEFER, 0)
    yield from _wrapped(SAFETY, 0)


def _headed(title: str, rows: Iterable[str]) -> Iterator[str]:
    found = list(rows)
    if found:
        yield ""
        yield title
        yield from found


def _wrapped(text: str, indent: int, columns: int = COLUMNS) -> list[str]:
    """Text in lines, each behind an indent; nothing for nothing."""
    space = " " * indent
    return textwrap.wrap(
        clean(text), columns, initial_indent=space, subsequent_indent=space,
        break_on_hyphens=False,
    )  # fmt: skip


def told(names: Names, by: By, day: date) -> str:
    """ "by 14:15", or "at 14:05" where nothing may wait."""
    return f"{'at' if by.exact else 'by'} {when(names, by.minute, day)}"


def when(names: Names, minute: int, day: date) -> str:
    """The time, with the day where that is another one."""
    same = names.local(minute).date() == day
    return names.clock(minute) if same else names.moment(minute)


def _job(
    names: Names, sheet: Sheet, line: Line, said: set[Slug], *, boxed: bool = False
) -> Iterator[str]:
    """Its times and what it is; below that everything else."""
    columns = COLUMNS - 1 if boxed else COLUMNS
    begins, ready = (told(names, x, sheet.day) for x in (line.start_by, line.ready_by))
    until = f"rdy {ready[3:]}" if line.end > line.start else ""
    head = _TIMES.format(begins, until) if len(begins) <= 8 else f"  {begins} {until} "
    rest = _wrapped(heading(line), _BELOW, columns)
    yield head + rest[0][_BELOW:] if len(head) <= _BELOW else head.rstrip()
    yield from rest[1 if len(head) <= _BELOW else 0 :]
    for text in details(names, line, sheet.day, sheet.person):
        yield from _wrapped(text, _BELOW, columns)
    for text in cautions(line.minds, said):
        yield from _wrapped(text, _BELOW, columns)


def heading(line: Line) -> str:
    """ "Barley soup, 9 l (1 of 2): fill (simmer)" """
    if not line.quantity:
        return line.what
    load = f" ({line.load})" if line.load else ""
    step = f" ({line.step})" if line.step else ""
    return f"{line.what}, {line.quantity}{load}: {line.does}{step}"


def details(names: Names, line: Line, day: date, person: Slug | None) -> Iterator[str]:
    """Everything about a job besides its times and what it is, a sentence each."""
    who = ", ".join(names.person(p) for p in line.people if p != person)
    ask = ", ".join(names.person(p) for p in line.ask)
    word = "with " if person is not None else ""
    yield "; ".join(x for x in (f"{word}{who}" if who else "", f"ask {ask}" if ask else "") if x)
    if line.ingredients:
        yield "takes " + "; ".join(
            f"{about(i.amount)} {i.name}"
            + (f" ({', '.join(i.where)})" if i.where else "")
            + (f" INSTEAD OF {i.instead_of}" if i.instead_of else "")
            for i in line.ingredients
        )
    yield f"from {', '.join(line.now_at)}" if line.now_at else ""
    yield f"on {line.where}" if line.where else ""
    yield f"away in it: {several(len(line.away), 'job')}" if line.away else ""
    yield from (f"check {m.said}" for m in line.measures if m.kind != "cooling")
    yield line.note
    yield f"then at once: {line.at_once}" if line.at_once else ""
    for goes in line.goes_to:
        shelves = f", {several(goes.shelves, 'shelf', 'shelves')}" if goes.shelves else ""
        what_for = f" for {goes.what_for}" if goes.what_for else ""
        until = when(names, goes.until, day)
        yield f"goes to {goes.place}{shelves}: {goes.quantity}{what_for}, {until}"
    yield f"label: {line.label}" if line.label else ""


def _deliveries(names: Names, sheet: Sheet) -> Iterator[str]:
    for one in sheet.deliveries:
        quantity = f", {one.quantity}" if one.quantity else ""
        shelves = f", {several(one.shelves, 'shelf', 'shelves')}" if one.shelves else ""
        hangs = f" for {', '.join(one.hangs)}" if one.hangs else ""
        yield from _wrapped(f"{names.clock(one.at)} {one.what}{quantity}{shelves}{hangs}", 2)


def _overnight(names: Names, sheet: Sheet) -> Iterator[str]:
    for one in sheet.overnight:
        who = ", ".join(names.person(p) for p in one.people)
        where = f", {one.where}" if one.where else ""
        touch = f"{one.verb} {names.moment(one.at)}"
        yield from _wrapped(f"{one.what}{where}; next: {touch}{f', {who}' if who else ''}", 2)


def _short(names: Names, sheet: Sheet, lines: Iterable[Line]) -> Iterator[str]:
    for line in lines:
        who = ", ".join(names.person(p) for p in line.people)
        text = f"{told(names, line.start_by, sheet.day)} {heading(line)}{f', {who}' if who else ''}"
        yield from _wrapped(text, 2)

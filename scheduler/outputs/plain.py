"""A sheet as plain text, 80 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from scheduler.domain.base import Slug
from scheduler.domain.limits import DEFER
from scheduler.outputs.lines import Line
from scheduler.outputs.saying import (
    coming,
    details,
    first_and_apart,
    heading,
    overnight,
    short,
    told,
)
from scheduler.outputs.sheet import Sheet
from scheduler.plan.minding import cautions
from scheduler.plan.words import SAFETY, Names, clean, day_words, fit

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
    yield from _headed("Deliveries", _listed(coming(names, c) for c in sheet.deliveries))
    said: set[Slug] = set()
    boxed = [row for line in sheet.apart for row in _job(names, sheet, line, said, boxed=True)]
    if boxed:
        yield ""
        edge = "+" + "-" * (COLUMNS - 2) + "+"
        yield edge
        title = _wrapped(first_and_apart(sheet.apart), 0)
        yield from (f"| {fit(row, COLUMNS - 4)}" for row in title)
        yield from (f"|{row}" for row in boxed)
        yield edge

    def jobs_of(lines: Iterable[Line]) -> Iterable[str]:
        return (short(names, line, sheet.day) for line in lines)

    jobs = [row for line in sheet.others for row in _job(names, sheet, line, said)]
    yield from _headed("Jobs", jobs or ["  Nothing."])
    yield from _headed("Before we leave tonight", _listed(jobs_of(sheet.tonight)))
    yield from _headed(
        "Overnight, by itself", _listed(overnight(names, o) for o in sheet.overnight)
    )
    yield from _headed("First thing tomorrow", _listed(jobs_of(sheet.tomorrow)))
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


def _listed(texts: Iterable[str]) -> Iterable[str]:
    return (row for text in texts for row in _wrapped(text, 2))


def _wrapped(text: str, indent: int, columns: int = COLUMNS) -> list[str]:
    """Text in lines, each behind an indent; nothing for nothing."""
    space = " " * indent
    return textwrap.wrap(
        clean(text), columns, initial_indent=space, subsequent_indent=space,
        break_on_hyphens=False,
    )  # fmt: skip


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

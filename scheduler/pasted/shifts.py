"""Shifts: a row for each person and a column for each day, or a row for each shift."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from scheduler.domain import roster
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.roster import OFF, days_between
from scheduler.domain.times import WEEKDAYS, Hours
from scheduler.pasted.grid import Grid, Mistakes, Value
from scheduler.pasted.headings import Headings, found
from scheduler.pasted.values import Named, clock, day, hours, text_of

WORDS: dict[str, tuple[str, ...]] = {
    "person": ("name", "who", "cook", "people", "brigade"),
    "day": ("date",),
    "hours": ("shift", "time"),
    "from": ("start", "begin", "begins", "in"),
    "to": ("end", "until", "ends", "out"),
}
"""What headings of shifts may be called."""
_OFF = frozenset(("off", "day off", "free", "x", "-", "–"))
_PEOPLE = frozenset(("person", *WORDS["person"]))
_MONTH, _YEAR = timedelta(days=31), timedelta(days=366)
_LOOKED_AT = 30
"""Rows from the top; above the days there may be a title."""
Cells = dict[tuple[str, date], str]
"""Of each person and day: hours with commas between, `off`, or nothing."""


@dataclass(frozen=True, slots=True)
class Rostered:
    """What a table of shifts says.

    Attributes
    ----------
    cells : dict
        By person and day, as `scheduler.domain.roster` has them.
    unused : tuple of str
        Columns that were not used.
    """

    cells: Cells
    unused: tuple[str, ...]


def shifts(grid: Grid, people: Mapping[str, str]) -> Rostered:
    """Read a table of shifts.

    Parameters
    ----------
    people : mapping
        Names by id.

    Raises
    ------
    BadInput
        Every mistake, by its cell.
    """
    mistakes, named = Mistakes(grid), Named("person", people)
    wide, unused = _wide(grid), tuple[str, ...]()
    if wide is not None:
        cells = _table(grid, *wide, named, mistakes)
    else:
        headings = found(grid, WORDS, (("person",), ("day",), ("hours", "from")))
        if "from" in headings.columns and "to" not in headings.columns:
            raise BadInput([Problem(grid.source, None, None, f"row {headings.row + 1}", (
                "there is a column 'from' and none that says until when: 'to'"
            ))])  # fmt: skip
        cells, unused = _list(grid, headings, named, mistakes), headings.unused
    days = [when for _, when in cells]
    if days and max(days) - min(days) > _YEAR:
        first, last = min(days), max(days)
        mistakes.found.append(Problem(grid.source, None, None, "", (
            f"the days go from {first} to {last}; a roster is of a year at most"
        )))  # fmt: skip
    mistakes.end()
    return Rostered(cells, unused)


def with_shifts(
    kitchen: Mapping[str, Any], cells: Cells, others: Sequence[date] = ()
) -> tuple[dict[str, Any], tuple[str, ...]]:
    """A kitchen with these hours on these days; every other day stays as it was.

    Breaks stay as far as they lie in the new hours.

    Parameters
    ----------
    others : sequence of date
        Days that matter besides: a weekly pattern of which one day is changed is written out for
        these, and a month around what is pasted.

    Returns
    -------
    (dict, tuple of str)
        And a sentence for everybody whose pattern is written out.
    """
    days = [d for _, d in cells]
    if not days:
        return dict(kitchen), ()
    first, last = min([min(days) - _MONTH, *others]), max([max(days) + _MONTH, *others])
    window = days_between(first, last)
    made, said = [], []
    for person in kitchen.get("people") or ():
        if not isinstance(person, dict):  # of a document that somebody is still writing
            made.append(person)
            continue
        before = roster.patterns(person)
        of = sorted((d, text) for (id, d), text in cells.items() if id == person.get("id"))
        for when, text in of:
            person = _with_day(person, when, text, window)
        made.append(person)
        lost = [p for p in before if p not in roster.patterns(person)]
        if lost:
            said.append(
                f"The shifts of {person.get('id')} that repeated ({', '.join(lost)}) are written "
                f"out from {first} to {last}; on later days there are none."
            )
    return {**kitchen, "people": made}, tuple(said)


def _with_day(person: dict[str, Any], day: date, text: str, window: Sequence[date]) -> Any:
    """With these hours, and of the breaks there were those that lie in them."""
    person = roster.with_cell(person, day, text, window)
    there = roster.shifts_on(person, day)
    inside = [_with_breaks(shift) for shift in there]
    return person if inside == there else roster.with_shifts(person, day, inside, window)


def _with_breaks(shift: dict[str, Any]) -> dict[str, Any]:
    try:
        working = Hours.parse(shift["hours"])
        fixed = [b for b in shift.get("breaks") or () if working.holds(Hours.parse(b))]
        floating = [
            b for b in shift.get("floating_breaks") or ()
            if working.holds(Hours.parse(b["between"]))
        ]  # fmt: skip
    except (ValueError, TypeError, KeyError):  # written before, and still wrong
        return shift
    made = shift | {"breaks": fixed, "floating_breaks": floating}
    return {k: v for k, v in made.items() if v != []}


def _wide(grid: Grid) -> tuple[int, int, tuple[int, ...]] | None:
    """The row with days in it, the column of people, the columns of days; None: no such table."""
    for row in list(grid.filled())[:_LOOKED_AT]:
        days = tuple(c for c, v in enumerate(grid.rows[row]) if _like_day(v))
        before = [text_of(grid.at(row, c)).lower() for c in range(days[0] if days else 0)]
        people = next((c for c, text in enumerate(before) if text in _PEOPLE), None)
        # One day behind a name may be a row of a list; two are the head of a table.
        if before and (people is not None or len(days) > 1):
            return row, people or 0, days
    return None


def _like_day(value: Value) -> bool:
    """Is it a day, or was one meant?"""
    try:
        _day(value)
    except ValueError as error:
        return "; write 20" in str(error) or "format the cell as a date" in str(error)
    return True


def _day(value: Value) -> date:
    """A day, also behind its name: "Thu 2026-12-03"."""
    if isinstance(value, str) and value.partition(" ")[0][:3].lower() in WEEKDAYS:
        value = value.partition(" ")[2]
    return day(value)


def _table(
    grid: Grid, row: int, people: int, columns: Sequence[int], named: Named, mistakes: Mistakes
) -> Cells:
    cells: Cells = {}
    seen: dict[str, int] = {}
    days: dict[int, date] = {}
    for column in columns:
        try:
            when = _day(grid.at(row, column))
            if when in days.values():
                raise ValueError(f"{when} is there already")
            days[column] = when
        except ValueError as error:
            mistakes.at(row, column, error)
    for y in (y for y in grid.filled() if y > row):
        value = grid.at(y, people)
        if value is None:
            mistakes.at(y, people, "there is nobody's name here")
            continue
        try:
            person = named.id_of(value)
        except ValueError as error:
            mistakes.at(y, people, error)
            continue
        if person in seen:
            mistakes.at(y, people, f"'{value}' is there already, in row {seen[person] + 1}")
        seen.setdefault(person, y)
        for column, when in days.items():
            try:
                cells[person, when] = _hours(grid.at(y, column))
            except ValueError as error:
                mistakes.at(y, column, error)
    return cells


def _list(grid: Grid, headings: Headings, named: Named, mistakes: Mistakes) -> Cells:
    """A row for each shift; several of one person and day together."""
    cells: Cells = {}
    columns = headings.columns

    for y in (y for y in grid.filled() if y > headings.row):

        def cell(word: str, read: Any, y: int = y) -> Any:
            value = grid.at(y, columns[word])
            try:
                if value is None:
                    raise ValueError(f"there is no {word} here")
                return read(value)
            except ValueError as error:
                mistakes.at(y, columns[word], error)
                return None

        person, when = cell("person", named.id_of), cell("day", day)
        if "hours" in columns:
            text = cell("hours", _hours)
        elif text_of(grid.at(y, columns["from"])).lower() in _OFF:
            text = OFF
        else:
            begin, end = cell("from", clock), cell("to", clock)
            text = None if begin is None or end is None else f"{begin}-{end}"
            if text is not None:
                try:
                    text = str(Hours.parse(text))
                except ValueError as error:
                    mistakes.at(y, columns["to"], error)
        if person is None or when is None or text is None:
            continue
        before = cells.get((person, when))
        if before == OFF or (before is not None and text == OFF):
            mistakes.row(y, f"{person} is off on {when} and works on it")
        cells[person, when] = text if before is None else f"{before}, {text}"
    return cells


def _hours(value: Value) -> str:
    """Hours of a day, `off`, or nothing."""
    text = text_of(value)
    if not text:
        return ""
    if text.lower() in _OFF:
        return OFF
    return ", ".join(hours(part.strip()) for part in text.replace(";", ",").split(",") if part)

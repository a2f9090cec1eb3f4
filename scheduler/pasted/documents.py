"""What a table makes of documents of a kitchen: its week, its people, its recipes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.times import read_moment
from scheduler.pasted.counts import Known, counts, with_counts
from scheduler.pasted.grid import Grid
from scheduler.pasted.guests import guests
from scheduler.pasted.ingredients import ingredients
from scheduler.pasted.recipes import recipes
from scheduler.pasted.shifts import shifts, with_shifts
from scheduler.pasted.what import What

Body = dict[str, Any]
Key = tuple[str, str]
"""Kind and id of a document."""


@dataclass(frozen=True, slots=True)
class Made:
    """What a table comes to.

    Attributes
    ----------
    says : str
        How much it is, in a sentence.
    bodies : dict
        The documents that it changes, as they are then.
    unused : tuple of str
        Headings of columns that were not used.
    notes : tuple of str
        What whoever pastes should know.
    rows : dict
        Of each document that has rows of its own: the first under "", and those of its steps.
    """

    says: str
    bodies: dict[Key, Body]
    unused: tuple[str, ...]
    notes: tuple[str, ...] = ()
    rows: dict[Key, dict[str, int]] = field(default_factory=dict)

    def by_rows(self, bad: BadInput, source: str, names: Mapping[str, Key]) -> BadInput:
        """What models say of documents, said of the rows that these are made of.

        Parameters
        ----------
        source : str
            What the table is called in messages.
        names : mapping
            What documents are called in theirs.
        """
        return BadInput([self._by_row(p, source, names.get(p.file)) for p in bad.problems])

    def _by_row(self, problem: Problem, source: str, key: Key | None) -> Problem:
        rows = self.rows.get(key) if key else None
        if rows is None:
            return problem
        _, _, where = problem.where.partition(", ")
        step = re.match(r"step ([a-z0-9-]+)", where)
        row = rows.get(step[1] if step else "", rows[""])
        what = f"{where}: {problem.what}" if where else problem.what
        return Problem(source, None, None, f"row {row + 1}", what, problem.maybe)


def made(what: What, grid: Grid, documents: Mapping[Key, Body], week: str) -> Made:
    """Read a table.

    Parameters
    ----------
    documents : mapping
        Those of the kitchen, by kind and id.
    week : str
        Whose counts or guests they are; it must be among the documents.

    Raises
    ------
    BadInput
        Every mistake in it, by its cell; then nothing comes of it.
    """
    there = {k: body for k, body in documents.items() if k[0] in ("component", "dish")}
    if what is What.INGREDIENTS:
        bodies, unused = ingredients(grid, there)
        return Made(f"What goes into {_several(len(bodies), 'recipe')}.", bodies, unused)
    (of_kitchen,) = (k for k in documents if k[0] == "kitchen")
    kitchen = documents[of_kitchen]
    if what is What.RECIPES:
        written = recipes(grid, kitchen, there)
        new = sum(key not in there for key in written.bodies)
        numbers = ((new, "new recipe"), (len(written.bodies) - new, "known recipe"), (
            sum(len(body["steps"]) for body in written.bodies.values()), "step"))  # fmt: skip
        says = ", ".join(_several(n, noun) for n, noun in numbers if n) + "."
        return Made(says, written.bodies, written.unused, written.notes, written.rows)
    if what is What.SHIFTS:
        rostered = shifts(grid, _names(kitchen.get("people")))
        body, notes = with_shifts(kitchen, rostered.cells, _days(documents))
        people, days = ({cell[n] for cell in rostered.cells} for n in (0, 1))
        said = f"Shifts of {_several(len(people), 'person', 'people')}"
        says = f"{said} on {_several(len(days), 'day')}."
        return Made(says, {of_kitchen: body}, rostered.unused, notes)
    of_week = ("week", week)
    if what is What.GUESTS:
        dishes = _names([body for (kind, _), body in documents.items() if kind == "dish"])
        others = [body for (kind, id), body in documents.items() if kind == "week" and id != week]
        body, unused, notes = guests(grid, documents[of_week], dishes, others)
        before, after = _listed(documents[of_week]), _listed(body)
        other = sum(a != b for a, b in zip(before, after, strict=True))
        says = f"Other numbers for {_several(other, 'event')} of {len(after)}."
        return Made(says, {of_week: body}, unused, notes)
    known = Known(
        _names([body for (kind, _), body in documents.items() if kind == "component"]),
        _names(kitchen.get("stores")),
        _names(documents[of_week].get("events")),
    )
    counted = counts(grid, known)
    body = with_counts(documents[of_week], counted.lots)
    had = len(documents[of_week].get("on_hand") or ())
    says = f"{_several(len(counted.lots), 'lot')} on hand, in place of {had}."
    return Made(says, {of_week: body}, counted.unused)


def _listed(week: Body) -> list[Any]:
    events = week.get("events")
    return events if isinstance(events, list) else []


def _several(n: int, one: str, many: str = "") -> str:
    return f"{n} {one if n == 1 else many or one + 's'}"


def _days(documents: Mapping[Key, Body]) -> list[date]:
    """First and last days of the weeks that are written."""
    found = []
    for (kind, _), body in documents.items():
        if kind == "week":
            with suppress(ValueError, KeyError):  # still being written
                found += [read_moment(body[end]).date() for end in ("starts", "ends")]
    return found


def _names(entries: Any) -> dict[str, str]:
    there = [one for one in entries or () if isinstance(one, dict) and one.get("id")]
    return {str(one["id"]): str(one.get("name") or one["id"]) for one in there}

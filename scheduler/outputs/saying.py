"""What a sheet says, in sentences; plain text, paper and calendars set them each their own way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from scheduler.domain.base import Slug
from scheduler.outputs.lines import Line
from scheduler.outputs.quarters import By
from scheduler.outputs.sheet import Coming, Overnight
from scheduler.plan.words import Names, about, several


def told(names: Names, by: By, day: date) -> str:
    """ "by 14:15", or "at 14:05" where nothing may wait."""
    return f"{'at' if by.exact else 'by'} {when(names, by.minute, day)}"


def when(names: Names, minute: int, day: date) -> str:
    """The time, with the day where that is another one."""
    same = names.local(minute).date() == day
    return names.clock(minute) if same else names.moment(minute)


def heading(line: Line) -> str:
    """ "Barley soup, 9 l (1 of 2): fill (simmer)" """
    if not line.quantity:
        return line.what
    load = f" ({line.load})" if line.load else ""
    step = f" ({line.step})" if line.step else ""
    return f"{line.what}, {line.quantity}{load}: {line.does}{step}"


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence about a job.

    Attributes
    ----------
    kind : str
        What it is about.
    text : str
    """

    kind: Literal["who", "takes", "from", "on", "away", "check", "note", "next", "goes", "label"]
    text: str


def details(names: Names, line: Line, day: date, person: Slug | None) -> Iterator[str]:
    """Everything about a job besides its times and what it is, a sentence each."""
    return (said.text for said in sayings(names, line, day, person))


def sayings(names: Names, line: Line, day: date, person: Slug | None) -> Iterator[Said]:
    """The same, each with what it is about."""
    who = ", ".join(names.person(p) for p in line.people if p != person)
    ask = ", ".join(names.person(p) for p in line.ask)
    word = "with " if person is not None else ""
    about_whom = (f"{word}{who}" if who else "", f"ask {ask}" if ask else "")
    if any(about_whom):
        yield Said("who", "; ".join(x for x in about_whom if x))
    if line.ingredients:
        yield Said("takes", "takes " + "; ".join(
            f"{about(i.amount)} {i.name}"
            + (f" ({', '.join(i.where)})" if i.where else "")
            + (f" INSTEAD OF {i.instead_of}" if i.instead_of else "")
            for i in line.ingredients
        ))  # fmt: skip
    if line.now_at:
        yield Said("from", f"from {', '.join(line.now_at)}")
    if line.where:
        yield Said("on", f"on {line.where}")
    if line.away:
        yield Said("away", f"away in it: {several(len(line.away), 'job')}")
    yield from (Said("check", f"check {m.said}") for m in line.measures if m.kind != "cooling")
    if line.note:
        yield Said("note", line.note)
    if line.at_once:
        yield Said("next", f"then at once: {line.at_once}")
    for goes in line.goes_to:
        shelves = f", {several(goes.shelves, 'shelf', 'shelves')}" if goes.shelves else ""
        what_for = f" for {goes.what_for}" if goes.what_for else ""
        until = when(names, goes.until, day)
        yield Said("goes", f"goes to {goes.place}{shelves}: {goes.quantity}{what_for}, {until}")
    if line.label:
        yield Said("label", f"label: {line.label}")


def coming(names: Names, one: Coming) -> str:
    """A delivery: "07:00 milk, 20 l, 2 shelves for Curd"."""
    quantity = f", {one.quantity}" if one.quantity else ""
    shelves = f", {several(one.shelves, 'shelf', 'shelves')}" if one.shelves else ""
    hangs = f" for {', '.join(one.hangs)}" if one.hangs else ""
    return f"{names.clock(one.at)} {one.what}{quantity}{shelves}{hangs}"


def overnight(names: Names, one: Overnight) -> str:
    """What runs by itself, where, and who looks at it next."""
    who = ", ".join(names.person(p) for p in one.people)
    where = f", {one.where}" if one.where else ""
    touch = f"{one.verb} {names.moment(one.at)}"
    return f"{one.what}{where}; next: {touch}{f', {who}' if who else ''}"


def short(names: Names, line: Line, day: date) -> str:
    """A job in a line: by when, what, and whose."""
    who = ", ".join(names.person(p) for p in line.people)
    return f"{told(names, line.start_by, day)} {heading(line)}{f', {who}' if who else ''}"


def first_and_apart(lines: tuple[Line, ...]) -> str:
    """What stands over what is made for diets."""
    return f"FIRST AND APART: {', '.join(dict.fromkeys(d for line in lines for d in line.diets))}"

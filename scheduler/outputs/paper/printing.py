"""Sheets and the wall sheet as PDF."""

from __future__ import annotations

from collections.abc import Sequence

from scheduler.outputs.paper.frame import Part, Printed, printed, room_of
from scheduler.outputs.paper.letters import Letters
from scheduler.outputs.paper.looks import SIZES, lying
from scheduler.outputs.paper.shift import ShiftSheet
from scheduler.outputs.paper.size import Paper
from scheduler.outputs.paper.stamp import Stamp
from scheduler.outputs.paper.wall import WallSheet, dealt
from scheduler.outputs.sheet import Sheet, Sheets
from scheduler.plan.words import SAFETY, day_words


def print_sheets(
    sheets: Sheets, wanted: Sequence[Sheet], stamp: Stamp, paper: Paper = Paper.A4
) -> Printed:
    """Sheets of sections or people, each on pages of its own.

    Parameters
    ----------
    wanted : sequence of Sheet
        At least one.
    """
    letters, size, name = Letters(), SIZES[paper], _week(sheets)
    parts = [
        Part(
            one.title,
            day_words(one.day),
            ShiftSheet(sheets.names, one, letters, room_of(size)).story(),
            name,
            stamp.link(one) if stamp.link else "",
        )
        for one in wanted
    ]
    return printed(parts, size, stamp, letters, name)


def print_wall(sheets: Sheets, stamp: Stamp, paper: Paper = Paper.A3) -> Printed:
    """The wall sheet, on its side: every day with something to do on it."""
    letters, size, name = Letters(), lying(paper), _week(sheets)
    room = room_of(size)
    parts = []
    for days in dealt(sheets.days, room[0]):
        first = days[0] if days else sheets.names.scenario.clock.first_day
        part = Part(
            name,
            " to ".join(dict.fromkeys((day_words(days[0]), day_words(days[-1])))) if days else "",
            WallSheet(sheets, days, letters, room).story(),
            f"A time is by when to start; 'at' may not wait. {SAFETY}",
            stamp.link(first) if stamp.link else "",
        )
        parts.append(part)
    return printed(parts, size, stamp, letters, name)


def _week(sheets: Sheets) -> str:
    week = sheets.names.scenario.week
    return week.name or week.id

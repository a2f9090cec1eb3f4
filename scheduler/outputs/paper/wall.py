"""The wall sheet: days across, sections down, as lists; deliveries on top, the nights below."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from reportlab.lib.colors import black, lightgrey
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, PageBreak, Paragraph, Table, TableStyle, TopPadder

from scheduler.outputs.paper.filling import Cell, taken, tall
from scheduler.outputs.paper.letters import Letters
from scheduler.outputs.paper.looks import (
    FINE,
    LABEL,
    LINE,
    THICK,
    WALL_DAY,
    WALL_EVENT,
    WALL_JOB,
)
from scheduler.outputs.paper.shift import RoomToWrite
from scheduler.outputs.paper.wall_lines import jobs_of, nights
from scheduler.outputs.saying import coming
from scheduler.outputs.sheet import Sheets
from scheduler.plan.words import day_words, several

_NARROWEST = 54 * mm
"""Of a day's column: three or four words a line."""
_SIDE = 22 * mm
"""What stands on the left: the name of a section."""
_PAD = 3.0
_LITTLE = 30 * mm
"""Less room than this is left empty at the end of a page, rather than a row torn for it."""
_WRITING = 4
"""Lines to write on, where there is room."""


@dataclass(frozen=True)
class _Row:
    side: Cell
    cells: list[Cell]


def dealt(days: Sequence[date], width: float) -> list[tuple[date, ...]]:
    """Days in pages: as many as have room beside each other, and as even as can be."""
    most = max(1, int((width - _SIDE) // _NARROWEST))
    pages = max(1, -(-len(days) // most))
    least, more = divmod(len(days), pages)
    found, at = [], 0
    for page in range(pages):
        end = at + least + (page < more)
        found.append(tuple(days[at:end]))
        at = end
    return found


class WallSheet:
    """The story of some days: one page, or several where they are busy.

    Parameters
    ----------
    room : (float, float)
        Width and height of what a page has for it, in points.
    """

    def __init__(
        self, sheets: Sheets, days: Sequence[date], letters: Letters, room: tuple[float, float]
    ) -> None:
        self._sheets, self._days, self._letters = sheets, days, letters
        self._names, (self._width, self._height) = sheets.names, room
        self._column = (self._width - _SIDE) / max(1, len(days))

    def story(self) -> list[Flowable]:
        """Deliveries, sections, room to write, and the nights at the foot of the last page."""
        if not self._days:
            return [Paragraph("Nothing to do in this plan.", WALL_DAY), RoomToWrite(8)]
        head = _Row([], [self._head(day) for day in self._days])
        over = _Row(
            self._side("Overnight, by itself"),
            [nights(self._sheets, day, self._letters) for day in self._days],
        )
        most = self._height - self._tall(head)
        below = self._tall(over) if any(over.cells) else 0.0
        rows = [row for row in self._rows() if any(row.cells)]
        if below > most:
            rows, below = [*rows, over], 0.0
        pages = list(self._pages(rows, most))
        left = most - sum(map(self._tall, pages[-1]))
        if left < below:
            pages.append([])
            left = most
        story: list[Flowable] = []
        for page in pages:
            story += [self._table([head, *page]), PageBreak()]
        story[-1] = RoomToWrite(min(_WRITING, int((left - below) // LINE)))
        return [*story, TopPadder(self._table([over]))] if below else story

    def _pages(self, rows: list[_Row], most: float) -> Iterator[list[_Row]]:
        """Rows dealt to pages; one that does not fit goes on where the next page begins."""
        page: list[_Row] = []
        left = most
        for row in rows:
            side, cells = row.side, row.cells
            while any(cells):
                need = self._tall(_Row(side, cells))
                if page and need > left and (left < _LITTLE or self._tall(_Row(side, [])) > left):
                    yield page
                    page, left = [], most
                both = [taken(cell, self._inner(self._column), left - 2 * _PAD) for cell in cells]
                part = _Row(side, [fits for fits, _ in both])
                page.append(part)
                left -= self._tall(part)
                cells = [rest for _, rest in both]
                if any(cells):
                    yield page
                    page, left = [], most
        yield page

    def _rows(self) -> Iterator[_Row]:
        sheets, names, letters = self._sheets, self._names, self._letters

        def arriving(day: date) -> Cell:
            return [Paragraph(letters.markup(coming(names, c)), WALL_JOB)
                    for c in sheets.deliveries(day)]  # fmt: skip

        def jobs(section: str, day: date) -> Cell:
            lines = [x for x in sheets.on(day) if x.section == section and (section or x.task)]
            return jobs_of(names, lines, day, letters)  # breaks are for the sheets of people

        yield self._row("Deliveries", arriving)
        for one in sheets.sections:
            yield self._row(names.section(one), partial(jobs, one))
        yield self._row("Anybody", partial(jobs, ""))

    def _row(self, side: str, cell: Callable[[date], Cell]) -> _Row:
        return _Row(self._side(side), [cell(day) for day in self._days])

    def _head(self, day: date) -> Cell:
        names = self._names
        found: Cell = [Paragraph(day_words(day), WALL_DAY)]
        for event in sorted(names.scenario.week.events, key=lambda e: e.first_plate):
            if event.first_plate.date() == day:
                said = (
                    f"{event.first_plate:%H:%M} {names.event(event.id)}, "
                    f"{several(event.guests, 'guest')}"
                )
                found.append(Paragraph(self._letters.markup(said), WALL_EVENT))
        return found

    def _side(self, text: str) -> Cell:
        return [Paragraph(self._letters.markup(text), LABEL)]

    def _tall(self, row: _Row) -> float:
        cells = [tall(cell, self._inner(self._column)) for cell in row.cells]
        return max([tall(row.side, self._inner(_SIDE)), *cells]) + 2 * _PAD

    def _inner(self, width: float) -> float:
        return width - 2 * _PAD

    def _table(self, rows: list[_Row]) -> Table:
        table = Table(
            [[row.side, *row.cells] for row in rows],
            colWidths=[_SIDE, *[self._column] * len(self._days)],
        )
        table.setStyle(TableStyle([
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("GRID", (0, 0), (-1, -1), FINE, black),
            ("BOX", (0, 0), (-1, -1), THICK, black),
            ("BACKGROUND", (0, 0), (0, -1), lightgrey),
            *((side, (0, 0), (-1, -1), _PAD) for side in
              ("LEFTPADDING", "RIGHTPADDING", "TOPPADDING", "BOTTOMPADDING")),
        ]))  # fmt: skip
        return table

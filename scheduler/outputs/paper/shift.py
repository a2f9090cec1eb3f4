"""The sheet of a section or a person for a shift: what a cook ticks and writes on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from scheduler.domain.base import Slug
from scheduler.domain.limits import DEFER
from scheduler.outputs.lines import Line
from scheduler.outputs.paper.filling import parted
from scheduler.outputs.paper.letters import Letters
from scheduler.outputs.paper.looks import (
    FINE,
    HEAD,
    JOB,
    LABEL,
    LINE,
    READY,
    REVERSED,
    SMALL,
    TEXT,
    THICK,
    TICK,
    TIME,
)
from scheduler.outputs.saying import (
    coming,
    first_and_apart,
    heading,
    overnight,
    sayings,
    short,
    told,
)
from scheduler.outputs.sheet import Sheet
from scheduler.plan.minding import cautions
from scheduler.plan.words import SAFETY, Names

_TICKED, _BEGINS, _READY, _WRITES = 7 * mm, 24 * mm, 24 * mm, 27 * mm
_READING = " . . . . . . . . at . . . . . . by . . . . . ."
"""Where a reading is written: how much, when, by whom."""
_PAD = 7
"""Points that a column loses to its padding, at most."""


class Tick(Flowable):
    """A box to tick."""

    def wrap(self, *_: float) -> tuple[float, float]:
        return TICK, TICK + 2

    def draw(self) -> None:
        self.canv.setLineWidth(1)
        self.canv.rect(0, 0, TICK, TICK)


class RoomToWrite(Flowable):
    """Lines to write on: as many as the page still has room for, none on a page of their own."""

    def __init__(self, most: int) -> None:
        super().__init__()
        self._most, self._lines, self._wide = most, 0, 0.0

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        self._lines, self._wide = min(self._most, int(aH // LINE)), aW
        return aW, self._lines * LINE

    def draw(self) -> None:
        self.canv.setLineWidth(FINE)
        for n in range(self._lines):
            self.canv.line(0, n * LINE, self._wide, n * LINE)


class ShiftSheet:
    """The story of one sheet.

    Parameters
    ----------
    room : (float, float)
        Width and height of what a page has for it, in points.
    """

    def __init__(
        self, names: Names, sheet: Sheet, letters: Letters, room: tuple[float, float]
    ) -> None:
        self._names, self._sheet, self._letters = names, sheet, letters
        self._width, self._height = room
        self._said: set[Slug] = set()

    def story(self) -> list[Flowable]:
        """Everything on it, in order."""
        names, sheet = self._names, self._sheet
        there = (
            f"{names.person(p)} {names.clock(a)}-{names.clock(z)}" for p, a, z in sheet.people
        )
        story: list[Flowable] = []
        story += self._text(", ".join(there))
        story += self._text("; ".join(sheet.notes))
        story += self._list("Deliveries", (coming(names, c) for c in sheet.deliveries))
        if sheet.apart:
            story += [Spacer(0, 3 * mm), self._jobs(sheet.apart, first_and_apart(sheet.apart))]
        story.append(Paragraph("Jobs", HEAD))
        story.append(self._jobs(sheet.others) if sheet.others else Paragraph("Nothing.", TEXT))
        story += self._list("Before we leave tonight", map(self._short, sheet.tonight), tick=True)
        story += self._list(
            "Overnight, by itself", (overnight(names, o) for o in sheet.overnight)
        )
        story += self._list("First thing tomorrow", map(self._short, sheet.tomorrow))
        story.append(Spacer(0, 3 * mm))
        story += [Paragraph(DEFER, SMALL)] if sheet.limited else []
        story += [Paragraph(SAFETY, SMALL), RoomToWrite(4)]
        return story

    def _text(self, text: str) -> list[Flowable]:
        return [Paragraph(self._letters.markup(text), TEXT)] if text else []

    def _short(self, line: Line) -> str:
        return short(self._names, line, self._sheet.day)

    def _list(self, title: str, texts: Iterable[str], *, tick: bool = False) -> list[Flowable]:
        width = self._width - _TICKED
        rows = [
            [[Tick()] if tick and not n else [], part]
            for text in texts
            for n, part in enumerate(parted(self._text(text), width - _PAD, self._height / 2))
        ]
        if not rows:
            return []
        table = Table(rows, colWidths=[_TICKED, width])
        table.setStyle(TableStyle([*_PLAIN, ("LINEBELOW", (0, 0), (-1, -1), FINE, black)]))
        return [Paragraph(title, HEAD), table]

    def _jobs(self, lines: Sequence[Line], box: str = "") -> Table:
        """Jobs one below the other; what is boxed says on every page why."""
        head: list[list[object]] = []
        if box:
            head.append([Paragraph(self._letters.markup(box), REVERSED), "", "", "", ""])
        head.append([
            "", Paragraph("start", SMALL), Paragraph("ready", SMALL), Paragraph("job", SMALL),
            Paragraph("made, when, who", SMALL),
        ])  # fmt: skip
        table = Table(
            [*head, *(row for line in lines for row in self._rows(line))],
            colWidths=[_TICKED, _BEGINS, _READY, self._job, _WRITES], repeatRows=len(head),
        )  # fmt: skip
        style: list[Any] = [
            *_PLAIN,
            ("LINEBELOW", (0, len(head) - 1), (-1, -1), FINE, black),
            ("LINEBEFORE", (-1, len(head) - 1), (-1, -1), FINE, black),
        ]
        if box:
            style += [
                ("BOX", (0, 0), (-1, -1), 2 * THICK, black),
                ("SPAN", (0, 0), (-1, 0)),
                ("BACKGROUND", (0, 0), (-1, 0), black),
                ("LEFTPADDING", (0, 0), (0, -1), 4),
                ("BOTTOMPADDING", (0, 0), (-1, 0), 4),
            ]
        table.setStyle(TableStyle(style))
        return table

    @property
    def _job(self) -> float:
        return self._width - _TICKED - _BEGINS - _READY - _WRITES

    def _rows(self, line: Line) -> Iterator[list[object]]:
        """One; more where one would be too much for a page."""
        names, sheet, markup = self._names, self._sheet, self._letters.markup
        begins = told(names, line.start_by, sheet.day)
        ready = told(names, line.ready_by, sheet.day)[3:] if line.end > line.start else ""
        cell: list[Flowable] = [Paragraph(markup(heading(line)), JOB)]
        for said in sayings(names, line, sheet.day, sheet.person):
            reading = _READING if said.kind == "check" else ""
            style = LABEL if said.kind in ("label", "check") else TEXT
            cell.append(Paragraph(markup(said.text) + reading, style))
        # Several readings, one for each of its limits.
        cooling = [m for m in line.measures if m.kind == "cooling"]
        cell += [Paragraph(f"{markup(m.said)}:{_READING}", LABEL) for m in cooling]
        cell += [Paragraph(markup(c), TEXT) for c in cautions(line.minds, self._said)]
        times: list[object] = [
            Tick(), Paragraph(markup(begins), TIME), Paragraph(markup(ready), READY)
        ]  # fmt: skip
        for part in parted(cell, self._job - _PAD, 0.8 * self._height):
            yield [*times, part, ""]
            times = ["", Paragraph("goes on", SMALL), ""]


_PLAIN: list[Any] = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("LEFTPADDING", (-1, 0), (-1, -1), 3),
    ("RIGHTPADDING", (0, 0), (-1, -1), 4),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
]

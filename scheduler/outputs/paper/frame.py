"""What is on every page around what is on it: plan number, print time, code, page number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import segno
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Paragraph,
)

from scheduler.outputs.paper.letters import BOLD, REGULAR, Letters
from scheduler.outputs.paper.looks import MARGIN, THICK, TITLE
from scheduler.outputs.paper.stamp import Stamp

HEIGHT = 27 * mm
"""Of the strip at the head of a page."""
_FOOT = 8 * mm
_PAD = 4
_CODE = 26 * mm
"""The side of a code, its quiet zone included."""
_QUIET = 4
"""Modules of white around a code (ISO/IEC 18004, 6.3.8; from memory)."""
_LEAST = 12
"""Points below which a title is not shrunk; it then stands in full under the strip."""


@dataclass(frozen=True)
class Part:
    """Pages that belong together and are numbered together.

    Attributes
    ----------
    title, below : str
        Whose sheet, and of when.
    story : list of Flowable
    foot : str
    link : str
        What the code opens; empty: there is none.
    """

    title: str
    below: str
    story: list[Flowable]
    foot: str
    link: str


@dataclass(frozen=True, slots=True)
class Printed:
    """A document.

    Attributes
    ----------
    pdf : bytes
    pages : int
    warnings : tuple of str
        What could not be printed as it is written.
    """

    pdf: bytes
    pages: int
    warnings: tuple[str, ...]


def code_of(link: str) -> tuple[tuple[bool, ...], ...]:
    """The modules of a QR code, row by row; True is black. ISO/IEC 18004."""
    code = segno.make(link, error="m", micro=False)
    return tuple(tuple(bool(module) for module in row) for row in code.matrix)


def room_of(size: tuple[float, float]) -> tuple[float, float]:
    """Width and height that a page of a size has for what is on it, in points."""
    width, height = size
    return width - 2 * MARGIN, height - 2 * MARGIN - _FOOT - HEIGHT - 2 * _PAD


def printed(
    parts: Sequence[Part], size: tuple[float, float], stamp: Stamp, letters: Letters, name: str
) -> Printed:
    """Set parts on pages of a size.

    Parameters
    ----------
    size : (float, float)
        Points.
    letters : Letters
        Those by which the stories were written.
    name : str
        What the document is called.
    """
    out = BytesIO()
    width, height = room_of(size)
    room = Frame(
        MARGIN, MARGIN + _FOOT, width, height + 2 * _PAD,
        leftPadding=0, rightPadding=0, topPadding=_PAD, bottomPadding=_PAD,
    )  # fmt: skip
    templates, story = [], []
    for n, part in enumerate(parts):
        around = _Around(n, part, stamp, letters)
        templates.append(PageTemplate(str(n), [room], onPage=around.draw, pagesize=size))
        story += [NextPageTemplate(str(n)), PageBreak()] if n else []
        if part.title and around.title_size(size) < _LEAST:
            story.append(Paragraph(letters.markup(part.title), TITLE))
        story += part.story
    document = BaseDocTemplate(
        out, pagesize=size, pageTemplates=templates, title=letters.text(name), author="Backtime",
        invariant=1,
    )  # fmt: skip
    pages: list[int] = []

    def canvas(*args: Any, **kwargs: Any) -> _Counted:
        return _Counted(pages, [letters.text(p.foot) for p in parts], *args, **kwargs)

    document.build(story, canvasmaker=canvas)
    return Printed(out.getvalue(), len(pages), letters.warnings)


class _Counted(Canvas):
    """Writes the foot of each page once it is known how many pages its part has."""

    part = 0

    def __init__(self, pages: list[int], feet: list[str], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._of, self._feet = pages, feet
        self._states: list[dict[str, Any]] = []

    def showPage(self) -> None:
        self._of.append(self.part)
        self._states.append(dict(self.__dict__))
        self._startPage()  # type: ignore[attr-defined]

    def save(self) -> None:
        for n, state in enumerate(self._states):
            self.__dict__.update(state)
            part = self._of[n]
            here = self._of[: n + 1].count(part)
            self._foot(self._feet[part], f"page {here} of {self._of.count(part)}")
            super().showPage()
        super().save()

    def _foot(self, text: str, page: str) -> None:
        width = self._pagesize[0]  # type: ignore[attr-defined]
        self.setFont(BOLD, 10)
        self.drawRightString(width - MARGIN, MARGIN, page)
        room = width - 2 * MARGIN - stringWidth(page, BOLD, 10) - 4 * mm
        self.setFont(REGULAR, 8)
        self.drawString(MARGIN, MARGIN, cut(text, REGULAR, 8, room))


class _Around:
    """The strip at the head of the pages of one part."""

    def __init__(self, n: int, part: Part, stamp: Stamp, letters: Letters) -> None:
        self._n, self._part, self._stamp, self._letters = n, part, stamp, letters
        self._code = code_of(part.link) if part.link else None

    def title_size(self, page: tuple[float, float]) -> float:
        """The size at which a title fits in a line."""
        text = self._letters.text(self._part.title)
        wide = stringWidth(text, BOLD, TITLE.fontSize)
        return min(TITLE.fontSize, TITLE.fontSize * self._room(page) / max(wide, 1))

    def draw(self, canvas: Canvas, document: Any) -> None:
        """Draw it, and say on the canvas whose page it is."""
        canvas.part = self._n  # type: ignore[attr-defined]
        width, height = canvas._pagesize  # type: ignore[attr-defined]  # noqa: SLF001
        top, room = height - MARGIN, self._room((width, height))
        size = max(_LEAST, self.title_size((width, height)))
        title = self._letters.text(self._part.title)
        canvas.setFont(BOLD, size)
        canvas.drawString(MARGIN, top - TITLE.fontSize, cut(title, BOLD, size, room))
        canvas.setFont(BOLD, 15)
        below = self._letters.text(self._part.below)
        canvas.drawString(MARGIN, top - 15 * mm, cut(below, BOLD, 15, room))
        right = width - MARGIN - (_CODE + 3 * mm if self._code else 0)
        canvas.setFont(BOLD, 28)
        canvas.drawRightString(right, top - 9 * mm, self._stamp.plan)
        canvas.setFont(BOLD, 15)
        canvas.drawRightString(right, top - 15 * mm, self._stamp.when)
        canvas.drawRightString(right, top - 21 * mm, self._stamp.bin_it)
        if self._stamp.warning:
            canvas.setFont(BOLD, 10)
            warning = self._letters.text(self._stamp.warning)
            canvas.drawString(MARGIN, top - 21 * mm, cut(warning, BOLD, 10, room))
        if self._code:
            _draw_code(canvas, self._code, width - MARGIN - _CODE, top - _CODE + 2 * mm)
        canvas.setLineWidth(THICK)
        canvas.line(MARGIN, top - HEIGHT + 2 * mm, width - MARGIN, top - HEIGHT + 2 * mm)

    def _room(self, page: tuple[float, float]) -> float:
        """What plan number and code leave of the width."""
        taken = max(
            stringWidth(self._stamp.plan, BOLD, 28), stringWidth(self._stamp.when, BOLD, 15)
        )
        return page[0] - 2 * MARGIN - taken - 4 * mm - (_CODE + 3 * mm if self._code else 0)


def _draw_code(
    canvas: Canvas, code: Sequence[Sequence[bool]], left: float, bottom: float
) -> None:
    module = _CODE / (len(code) + 2 * _QUIET)
    top = bottom + _CODE - _QUIET * module
    path = canvas.beginPath()
    for y, row in enumerate(code):
        for x, black in enumerate(row):
            if black:
                path.rect(left + (x + _QUIET) * module, top - (y + 1) * module, module, module)
    canvas.drawPath(path, stroke=0, fill=1)


def cut(text: str, font: str, size: float, room: float) -> str:
    """A text that fits into a width, with an ellipsis where something is cut off."""
    if stringWidth(text, font, size) <= room:
        return text
    while text and stringWidth(text + "…", font, size) > room:
        text = text[:-1]
    return text.rstrip() + "…"

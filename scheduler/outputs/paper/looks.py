"""How the paper looks: sizes of sheets, kinds of paragraphs, lines of tables. Black on white."""

from __future__ import annotations

from typing import Any

from reportlab.lib.colors import black, white
from reportlab.lib.pagesizes import A3, A4, landscape, letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm

from scheduler.outputs.paper.letters import BOLD, REGULAR
from scheduler.outputs.paper.size import Paper

MARGIN = 11 * mm
FINE, THICK = 0.5, 1.6
"""Lines, in points."""
LINE = 8 * mm
"""Between lines to write on."""
TICK = 3.6 * mm
"""The side of a box to tick."""


SIZES: dict[Paper, tuple[float, float]] = {
    Paper.A4: A4, Paper.LETTER: letter, Paper.A3: A3,
}  # fmt: skip


def lying(paper: Paper) -> tuple[float, float]:
    """Width and height of a paper on its side, in points."""
    width, height = landscape(SIZES[paper])
    return width, height


def _style(name: str, size: float, *, bold: bool = False, **more: Any) -> ParagraphStyle:
    usual: dict[str, Any] = {"leading": size * 1.2, "splitLongWords": 1}
    return ParagraphStyle(
        name, fontName=BOLD if bold else REGULAR, fontSize=size, textColor=black, **(usual | more)
    )


TEXT = _style("text", 9.5)
SMALL = _style("small", 8)
JOB = _style("job", 11.5, bold=True)
LABEL = _style("label", 9.5, bold=True)
TIME = _style("time", 13, bold=True)
READY = _style("ready", 11)
TITLE = _style("title", 20, bold=True)
HEAD = _style("head", 13, bold=True, spaceBefore=9, spaceAfter=3)
WALL_JOB = _style("wall job", 9.5, leading=12.5, leftIndent=7, firstLineIndent=-7, spaceAfter=3)
WALL_BOXED = ParagraphStyle(
    "wall boxed", WALL_JOB, borderWidth=1.2, borderColor=black, borderPadding=2, spaceBefore=4,
    spaceAfter=6, leftIndent=4, rightIndent=4, firstLineIndent=0,
)  # fmt: skip
WALL_DAY = _style("wall day", 15, bold=True)
WALL_EVENT = _style("wall event", 9.5)
REVERSED = ParagraphStyle("reversed", HEAD, textColor=white, spaceBefore=0, spaceAfter=0)

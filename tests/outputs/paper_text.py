"""Printed pages, read back."""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from zoneinfo import ZoneInfo

from pypdf import PdfReader

from scheduler.outputs.paper.frame import Printed
from scheduler.outputs.paper.stamp import Stamp

PRINTED = datetime(2026, 12, 3, 15, 40, tzinfo=ZoneInfo("Europe/Vienna"))
STAMP = Stamp(PRINTED, number=7, bins=6)


def pages(one: Printed) -> list[str]:
    """The text of each page, with one space wherever there is any."""
    found = [" ".join(p.extract_text().split()) for p in PdfReader(BytesIO(one.pdf)).pages]
    assert len(found) == one.pages
    return found


def sizes(one: Printed) -> set[tuple[int, int]]:
    """Width and height of the pages in millimetres."""
    boxes = [p.mediabox for p in PdfReader(BytesIO(one.pdf)).pages]
    return {(round(b.width / 72 * 25.4), round(b.height / 72 * 25.4)) for b in boxes}


def squeezed(text: str) -> str:
    """Without spaces: where a line ends is not what was written."""
    return "".join(text.split())

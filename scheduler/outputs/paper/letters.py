"""The letters of the paper: a font that comes along, and a mark for what it lacks."""

from __future__ import annotations

import unicodedata
from functools import cache
from pathlib import Path
from xml.sax.saxutils import escape

from reportlab.lib.fonts import addMapping
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from scheduler.plan.words import clean, fit

REGULAR, BOLD = "sheet", "sheet-bold"
MARK = "\N{REPLACEMENT CHARACTER}"
"""What stands for a letter that the font lacks."""
_FOLDER = Path(__file__).parent / "fonts"
_SHOWN = 40
"""Columns of a text that are shown in a warning."""
_TOLD = 5
"""So many texts with letters that are lacking are told one by one."""


@cache
def _covered() -> frozenset[int]:
    """What both fonts have: Latin, Greek, Cyrillic and signs, and nothing that runs leftwards."""
    found = []
    for name, file in ((REGULAR, "DejaVuSansCondensed"), (BOLD, "DejaVuSansCondensed-Bold")):
        font = TTFont(name, str(_FOLDER / f"{file}.ttf"))
        pdfmetrics.registerFont(font)
        found.append(frozenset(font.face.charToGlyph))
    for bold in (0, 1):
        addMapping(REGULAR, bold, 0, BOLD if bold else REGULAR)
        addMapping(REGULAR, bold, 1, BOLD if bold else REGULAR)
    return found[0] & found[1]


class Letters:
    """Makes text printable and remembers what could not be."""

    def __init__(self) -> None:
        self._covered = _covered()
        self._lacking: dict[str, str] = {}

    def text(self, text: str) -> str:
        """A text in letters that the font has, a mark for each other."""
        whole = unicodedata.normalize("NFC", clean(text))
        seen = [ch for ch in whole if unicodedata.category(ch) != "Cf" and not _selects(ch)]
        lacking = "".join(dict.fromkeys(ch for ch in seen if ord(ch) not in self._covered))
        if lacking:
            self._lacking.setdefault(whole, lacking)
        return "".join(ch if ord(ch) in self._covered else MARK for ch in seen)

    def markup(self, text: str) -> str:
        """The same for a paragraph, in which `<`, `>` and `&` mean something."""
        return escape(self.text(text))

    def together(self, text: str) -> str:
        """The same on one line: "at 14:05" is not torn apart."""
        return self.markup(text).replace(" ", "\u00a0")

    @property
    def warnings(self) -> tuple[str, ...]:
        """A sentence for each text with letters that could not be printed."""
        told = [
            f"The font of the paper lacks {' '.join(letters)} in '{fit(text, _SHOWN)}'; "
            f"{'it stands' if len(letters) == 1 else 'they stand'} as {MARK}."
            for text, letters in list(self._lacking.items())[:_TOLD]
        ]
        more = len(self._lacking) - _TOLD
        return (*told, f"So do letters in {more} more texts.") if more > 0 else tuple(told)


def _selects(ch: str) -> bool:
    """Does it only choose how the letter before it looks?"""
    return "\ufe00" <= ch <= "\ufe0f"

"""How wide text is on a chart, reckoned without a screen: rather too wide than too narrow."""

from __future__ import annotations

import re
import unicodedata

SIZE = 12
"""Of the text on charts, px."""
_NARROW = frozenset("ijlftrI.,:;'|!()[]/ ·-")
_BROAD = frozenset("mwMW@%—…&")
_PHRASE = re.compile(r"[,:;(]| [–—-] ")
_WORD = 20
"""Letters of a word that stays whole; longer ones, and scripts without spaces, are cut anywhere."""
FEWEST = 5
"""Fewer letters of a name say nothing."""


def wide(text: str) -> float:
    """Pixels that a text takes at most."""
    return sum(_letter(ch) for ch in text)


def _letter(ch: str) -> float:
    if unicodedata.combining(ch):
        return 0
    if ch in _NARROW:
        return 4.4
    if ch in _BROAD:
        return 11
    if ch.isascii():
        return 7.6 if ch.isupper() else 6.6
    return 13 if unicodedata.east_asian_width(ch) in "WF" else 9


def cut(text: str, room: float) -> str:
    """A text, or as much of it as there is room for; empty where that says nothing.

    What ends where a phrase ends ("Close-down" of "Close-down, sauce") is whole as it stands.
    """
    if wide(text) <= room:
        return text
    phrases = [text[: end.start()].rstrip() for end in _PHRASE.finditer(text)]
    whole = [p for p in phrases if len(p) > 1 and p.count("(") == p.count(")") and wide(p) <= room]
    if whole:
        return whole[-1]
    kept, used = "", wide("…")
    for ch in text:
        used += _letter(ch)
        if used > room:
            break
        kept += ch
    begins = kept.rfind(" ") + 1
    word = text[begins:].partition(" ")[0]
    if len(kept) - begins < len(word) <= _WORD:
        kept = kept[:begins]
    kept = kept.rstrip(" ,:(")
    return f"{kept}…" if len(kept) >= FEWEST else ""

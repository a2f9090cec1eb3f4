"""What people have typed, made safe for a place that reads Markdown or tags."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from scheduler.plan.words import clean

_MARKS = re.compile(r"([\\`*_{}\[\]()#+\-.!|>~$:<&^=])")
_WORDS = re.compile(r":(?=[A-Za-z])")
"""What begins the name of an icon or a colour: those are looked for in what is left when the marks
have been read, so a backslash does not keep them away."""
_QUOTED = re.compile(r"`([^`\n]+)`")
_TAGS = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})
LONGEST = 120
"""Letters of a name that a screen shows; the rest is an ellipsis."""


def plain(text: object, longest: int = LONGEST) -> str:
    """Text as it stands, where the screen would read Markdown: labels, captions, sentences."""
    return _MARKS.sub(r"\\\1", _WORDS.sub(":\u2060", short(text, longest)))


def spoken(text: str, names: Mapping[str, str] = MappingProxyType({})) -> str:
    """A sentence of ours, with the words of a written week in plain quotes, or by their names."""
    return _QUOTED.sub(lambda found: f"'{names.get(found[1], found[1])}'", text)


def untagged(text: object, longest: int = LONGEST) -> str:
    """Text as it stands, where a chart would read tags: labels of bars and rows, what hovers."""
    return short(text, longest).translate(_TAGS)


def short(text: object, longest: int = LONGEST) -> str:
    """Text on one line, cut where it is too long."""
    line = clean(str(text)).strip()
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"

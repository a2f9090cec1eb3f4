"""Fields of a form: where one stands in a document, and its value as the text that a chef writes.

Nothing is judged here. What cannot be read as what it should be stays the text that was typed,
and the models of the domain say what is wrong with it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from scheduler.domain.tree import Refused
from scheduler.domain.yaml_text import read_text
from scheduler.domain.yaml_writing import flow
from ui.editing.paths import ABSENT, Path
from ui.wording import spoken

Sort = Literal["text", "whole", "words", "pairs", "yes", "either", "choice", "written"]
"""What a field holds.

text: a word, an amount, a length of time, a moment. whole: a whole number. words: several, with
commas between. pairs: `sauce: lead, pass: cook`. yes: a tick. either: yes, no, or left open.
choice: one of some. written: anything, in one line as in a written week.
"""
NONE = "none"
"""Typed for a list of which it is known that nothing is in it."""
_WHOLE = re.compile(r"[+-]?[0-9]{1,12}")

@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form, or one column of a table.

    Attributes
    ----------
    path : tuple
        In the document; in a table, in the row.
    label : str
    sort : str
    choices : tuple of str
        For `choice`.
    help : str
    """

    path: Path
    label: str
    sort: Sort = "text"
    choices: tuple[str, ...] = ()
    help: str = ""


def labelled(text: str, fields: Iterable[Field]) -> str:
    """What a model says of a field, with other fields by what they are called on the page."""
    return spoken(text, {str(f.path[-1]): f.label for f in fields})


def text_of(sort: Sort, value: Any) -> str:
    """A value as the chef writes it; empty for what is not written."""
    if value is ABSENT or value is None:
        return ""
    if sort == "words" and isinstance(value, list):
        if all(isinstance(v, (str, int)) and "," not in str(v) for v in value):
            return ", ".join(map(str, value)) if value else NONE
    elif sort == "pairs" and isinstance(value, dict):
        pairs = [(str(k), v) for k, v in value.items()]
        if all(_short(v) and not set(":,") & set(f"{k}{v}") for k, v in pairs):
            return ", ".join(f"{k}: {v}" for k, v in pairs)
    elif sort == "either" and isinstance(value, bool):
        return "yes" if value else "no"
    elif sort != "written" and isinstance(value, (str, int)) and not isinstance(value, bool):
        return str(value)
    return flow(value)


def value_of(sort: Sort, text: str) -> Any:
    """What a typed text means; the text itself where it means nothing; ABSENT for an empty one."""
    text = text.strip()
    if not text:
        return ABSENT
    if sort == "written" or (sort in ("words", "pairs") and text[0] in "[{"):
        return _written(text)
    if sort == "whole" and _WHOLE.fullmatch(text):
        return int(text)
    if sort == "either" and text in ("yes", "no"):
        return text == "yes"
    if sort == "words":
        if text == NONE:
            return []
        return [word for part in text.split(",") if (word := part.strip())]
    if sort == "pairs":
        parts = [part.partition(":") for part in text.split(",") if part.strip()]
        if all(colon for _, colon, _ in parts):
            return {k.strip(): _number(v.strip()) for k, _, v in parts}
    return " ".join(text.split())


def _number(text: str) -> int | str:
    return int(text) if _WHOLE.fullmatch(text) else text


def _written(text: str) -> Any:
    """Read in one line, as files are; what cannot be read stays text for the model to refuse."""
    try:
        return read_text(text, "").plain()
    except Refused:
        return text


def _short(value: Any) -> bool:
    """Can it stand without quotes behind a colon?"""
    return type(value) is int or (isinstance(value, str) and not _WHOLE.fullmatch(value))

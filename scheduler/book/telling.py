"""What documents are called, and what has changed in one, as a sentence for a chef."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Any

from scheduler.book.matching import Entry
from scheduler.domain.problems import nearest, one_of, readable
from scheduler.domain.wording import NOUNS

LONGEST = 120
_DOCUMENTS = {"component": "recipe"}


def document(kind: str, id: str) -> str:
    """What a document is called: recipe cheeks, week gala."""
    return f"{_DOCUMENTS.get(kind, kind)} {id}"


def no_such(kind: str, id: str, known: Iterable[str]) -> str:
    """That there is none, and which one was probably meant."""
    there = sorted(set(known))
    meant = nearest(id, there)
    if meant:
        hint = f"Maybe '{meant}'."
    elif there:
        hint = f"There {'are' if len(there) > 1 else 'is'} {one_of(there)}."
    else:
        hint = "There is none yet: `backtime import FOLDER`."
    return f"The book has no {_DOCUMENTS.get(kind, kind)} '{id}'. {hint}"


def place(path: Sequence[str | Entry]) -> str:
    """Where a path leads, as mistakes say it: "step braise, time"."""
    words: list[str] = []
    for i, part in enumerate(path):
        before = path[i - 1] if i else ""
        if isinstance(part, Entry):
            field = str(before)
            words[-1:] = [f"{NOUNS.get(field, field.replace('_', ' '))} {called(part)}".strip()]
        elif not (part == "at_least" and before == "time"):
            words.append(part.replace("_", " "))
    return ", ".join(words)


def called(entry: Entry) -> str:
    """What an entry of a list is called."""
    if entry.by == "place":
        return str(int(entry.name) + 1)
    return told(json.loads(str(entry.name))) if entry.by == "itself" else str(entry.name)


def told(value: Any) -> str:
    """A value in a line."""
    return readable(_told(value), LONGEST)


def names(entries: Iterable[Entry]) -> str:
    """Entries in their order."""
    return readable(", ".join(called(e) for e in entries), LONGEST) or "nothing"


def _told(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        said = (f"{str(k).replace('_', ' ')} {_told(v)}" for k, v in value.items())
        return ", ".join(said) or "nothing"
    if isinstance(value, list):
        return ", ".join(f"({_told(v)})" if isinstance(v, (dict, list)) else _told(v)
                         for v in value) or "nothing"  # fmt: skip
    return str(value)

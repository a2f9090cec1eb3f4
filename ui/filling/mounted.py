"""Editors of tables on a page: what each was given, and what has been typed into it since.

An editor is never given its own output back, or it drops every second edit. It keeps what it was
given first, and says what has been typed since; that is put into the document before the page is
drawn. Where the list has been changed in another place, the editor is made anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import streamlit as st

from scheduler.book.merging import merged
from ui.editing.paths import ABSENT, Path, at, put
from ui.editing.tables import with_edits
from ui.editing.words import Field


@dataclass(frozen=True)
class Mounted:
    """An editor on the page.

    Attributes
    ----------
    number : int
        How often it was made anew; part of its key.
    columns : sequence of Field
    entries : list or ABSENT
        What it was given.
    last : list or ABSENT
        What the list was after the last change that came from it.
    """

    number: int
    columns: Sequence[Field]
    entries: Any
    last: Any


def editor_key(form: str, path: Path, number: int) -> str:
    """The key of an editor."""
    return "|".join((form, *map(str, path), "table", str(number)))


def mount(form: str, path: Path, columns: Sequence[Field], there: Any) -> Mounted:
    """What an editor is to show of a list: what it has, or the list anew."""
    known: Mounted | None = _all(form).get(path)
    if known is not None:
        edits = st.session_state.get(editor_key(form, path, known.number)) or {}
        if _with(known, edits) == there:
            known = replace(known, columns=columns)
            _all(form)[path] = known
            return known
    made = Mounted(known.number + 1 if known else 0, columns, there, there)
    _all(form)[path] = made
    return made


def news(form: str, body: Any) -> Iterator[Any]:
    """The document after each thing that was typed into one of its tables."""
    for path, known in list(_all(form).items()):
        key = editor_key(form, path, known.number)
        if key not in st.session_state:
            del _all(form)[path]  # It is not on this page.
            continue
        mine = _with(known, st.session_state[key] or {})
        if mine != known.last:
            # Another tab may have changed the list meanwhile: both, then.
            both = merged(_box(known.last), _box(mine), _box(at(body, path))).body or {}
            body = put(body, path, both.get("rows", ABSENT))
            _all(form)[path] = replace(known, last=mine)
            yield body


def _all(form: str) -> dict[Path, Mounted]:
    there: dict[Path, Mounted] = st.session_state.setdefault(f"{form}|mounted", {})
    return there


def _with(known: Mounted, edits: Any) -> Any:
    made = with_edits(_box(known.entries), ("rows",), known.columns, edits)
    return made.get("rows", ABSENT)


def _box(entries: Any) -> dict[str, Any]:
    return {} if entries is ABSENT else {"rows": entries}

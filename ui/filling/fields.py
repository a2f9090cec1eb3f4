"""Fields of a document on a page, each with what is wrong beneath it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import streamlit as st

from ui.editing.mistakes import Mistake, beside
from ui.editing.models import help_of
from ui.editing.paths import ABSENT, Path
from ui.editing.words import Field, labelled, text_of, value_of
from ui.filling.opened import Form
from ui.wording import plain, spoken

MARK = "**✗**"
"""Stands before what is wrong, so that colour is never the only sign."""
MOST = 12
"""So many mistakes or changes are shown in one place; the rest is counted."""
OPEN = "—"
"""Where nothing is chosen."""


def fields(form: Form, some: Sequence[Field], columns: int = 4, path: Path = ()) -> None:
    """Fields side by side; under each other on a phone."""
    for first in range(0, len(some), columns):
        places = st.columns(columns)
        for place, one in zip(places, some[first : first + columns], strict=False):
            with place:
                field(form, one, path, some)


def field(form: Form, one: Field, path: Path = (), beside_it: Sequence[Field] = ()) -> None:
    """One field; `path` is where in the document that stands which it is a field of."""
    there = (*path, *one.path)
    key = form.key(*there)
    said = one.help or help_of(form.one.kind, there)
    help = plain(labelled(said, beside_it), 400) or None
    value = form.at(there)
    if one.sort == "yes":
        _set(key, value is True)
        st.checkbox(
            one.label, key=key, help=help, disabled=form.shut,
            on_change=_ticked, args=(form, there, key),
        )  # fmt: skip
    elif one.sort in ("choice", "either"):
        text = text_of(one.sort, value) or OPEN
        known = ("yes", "no") if one.sort == "either" else one.choices
        options = list(dict.fromkeys((OPEN, *known, text)))
        _set(key, text)
        st.selectbox(
            one.label, options, key=key, help=help, disabled=form.shut,
            on_change=_typed, args=(form, there, one, key),
        )  # fmt: skip
    else:
        _set(key, text_of(one.sort, value))
        st.text_input(
            one.label, key=key, help=help, disabled=form.shut,
            on_change=_typed, args=(form, there, one, key),
        )  # fmt: skip
    wrong(form.told(beside(form.found, there)))


def wrong(some: Iterable[Mistake], place: bool = False) -> None:
    """What is wrong, in sentences; with `place`, also where."""
    for one in some:
        st.markdown(f"{MARK} {plain(spoken(str(one) if place else one.says), 600)}")


def _set(key: str, value: Any) -> None:
    """Show what the document says, also where it was changed in another place."""
    if st.session_state.get(key) != value:
        st.session_state[key] = value


def _typed(form: Form, path: Path, one: Field, key: str) -> None:
    text = str(st.session_state[key] or "")
    form.put(path, value_of(one.sort, "" if text == OPEN else text))


def _ticked(form: Form, path: Path, key: str) -> None:
    form.put(path, True if st.session_state[key] else ABSENT)

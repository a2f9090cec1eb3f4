"""What a tab holds of a document that it shows: as it was drawn last, and what cannot be kept.

Whoever has a document open in two tabs has one draft of it. So a tab remembers what it showed:
nothing goes into a part of the document that has become another one elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import streamlit as st

from scheduler.book.errors import BookError
from scheduler.book.revisions import Kind
from ui.editing.begun import Begun, begun, keep
from ui.editing.paths import ABSENT, at
from ui.here import Here

ELSEWHERE = "In another tab, or by somebody under your name, this has been changed meanwhile"
NOW = "The page shows how it is now"


@dataclass(frozen=True, slots=True)
class Shown:
    """A document as a tab has drawn it last."""

    body: Any
    kept: bool
    head: int


def now(here: Here, kind: Kind, id: str) -> Begun:
    """Read a document as somebody has it before them, with what the book could not keep.

    Raises
    ------
    NotThere
    """
    one = begun(here.book, here.who, kind, id)
    unkept = st.session_state.get(_key(one.form, "unkept"))
    return one if unkept is None else replace(one, body=unkept[0], kept=True)


def hold(here: Here, one: Begun, body: Any) -> None:
    """Keep what is typed; what the book cannot keep is held as long as the page is open.

    Raises
    ------
    BookError
        It could not be kept.
    """
    unkept = _key(one.form, "unkept")
    try:
        keep(here.book, here.who, one, body)
    except BookError as error:
        st.session_state[unkept] = (body,)
        show(replace(one, body=body, kept=True))
        raise BookError(
            f"{error} What you typed is still here as long as this page is open, and is kept as "
            "soon as it can be."
        ) from None
    st.session_state.pop(unkept, None)
    show(begun(here.book, here.who, one.kind, one.id))


def hold_again(here: Here, one: Begun) -> None:
    """Try once more to keep what could not be.

    Raises
    ------
    BookError
    """
    if only_here(one):
        hold(here, one, one.body)


def change(here: Here, kind: Kind, id: str, made: Callable[[Any], Any], part: str | None) -> None:
    """Keep a document with something changed.

    Parameters
    ----------
    part : str or None
        What it is changed in: a field of the document, or all of it.

    Raises
    ------
    BookError
        That part is another than the one that this tab shows, or it could not be kept.
    """
    one = now(here, kind, id)
    path = () if part is None else (part,)
    shown = _shown(one.form)
    if shown is not None and at(shown.body, path) != at(one.body, path):
        raise BookError(f"{ELSEWHERE}, so this was left out. {NOW}: do it again if it is right.")
    if elsewhere(one):
        st.session_state[_key(one.form, "news")] = news_of(one)
    try:
        body = made(one.body)
    except IndexError:
        raise BookError(f"What you typed in has been taken out meanwhile. {NOW}.") from None
    hold(here, one, {} if body is ABSENT else body)


def only_here(one: Begun) -> bool:
    """Could the book not keep what is typed, so that it is gone with the page?"""
    return _key(one.form, "unkept") in st.session_state


def show(one: Begun) -> None:
    """Remember a document as it is drawn."""
    head = 0 if one.head is None else one.head.number
    st.session_state[_key(one.form, "shown")] = Shown(one.body, one.kept, head)


def let_go(one: Begun) -> None:
    """Forget a document that has been saved or let go by this tab."""
    for what in ("shown", "unkept", "news"):
        st.session_state.pop(_key(one.form, what), None)


def elsewhere(one: Begun) -> bool:
    """Is it another than the one that this tab has drawn?"""
    shown = _shown(one.form)
    head = 0 if one.head is None else one.head.number
    return shown is not None and shown != Shown(one.body, one.kept, head)


def news_of(one: Begun) -> str:
    """What has become of it elsewhere, in a sentence."""
    shown, head = _shown(one.form), one.head
    if head is not None and (shown is None or head.number != shown.head):
        verb = "thrown it out" if head.body is None else f"saved it as revision {head.number}"
        return f"{head.who} has {verb} meanwhile."
    return f"{ELSEWHERE}."


def told(one: Begun) -> str:
    """What is to be said once of changes elsewhere when the page is drawn; mostly nothing."""
    said = str(st.session_state.pop(_key(one.form, "news"), ""))
    return said or (news_of(one) if elsewhere(one) else "")


def _shown(form: str) -> Shown | None:
    there: Shown | None = st.session_state.get(_key(form, "shown"))
    return there


def _key(form: str, what: str) -> str:
    return f"held|{form}|{what}"

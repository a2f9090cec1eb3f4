"""A document opened on a page: what is in it, what is wrong with it, and what typing does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import streamlit as st

from scheduler.book.documents import heads
from scheduler.book.errors import NotThere
from scheduler.book.revisions import Body, Key, Kind, digest
from ui.editing.begun import Begun, all_begun, begun, form_of
from ui.editing.mistakes import Mistake, mistakes
from ui.editing.paths import ABSENT, Path, at, put
from ui.filling import held
from ui.filling.mounted import news
from ui.here import Here
from ui.refusing import refusing
from ui.wording import plain, short

KEYS = "form"
"""What keys of widgets and of the session begin with that belong to forms."""
LOOKS = 10.0
"""Seconds between two looks at whether it has been changed elsewhere."""


@dataclass
class Form:
    """One document on a page.

    Attributes
    ----------
    here : Here
    one : Begun
    documents : dict
        The newest of everything else, with what is to be saved together with it.
    found : tuple of Mistake
        What is wrong now.
    shown : list of Mistake
        Those that stand beside a field or under a table; the others stand at the top.
    top : container
        Where saving goes.
    """

    here: Here
    one: Begun
    documents: dict[Key, Body]
    found: tuple[Mistake, ...]
    top: Any
    shown: list[Mistake] = field(default_factory=list)

    @property
    def shut(self) -> bool:
        """May they only look?"""
        return not self.here.chef

    def at(self, path: Path) -> Any:
        """What stands at a path, as typed; ABSENT where nothing does."""
        return at(self.one.body, path)

    def key(self, *path: object) -> str:
        """The key of a widget."""
        return key_of(self.one.form, *path)

    def told(self, some: Iterable[Mistake]) -> list[Mistake]:
        """Mistakes that are shown now, so that they need not stand at the top."""
        there = list(some)
        self.shown += there
        return there

    def change(self, made: Callable[[Any], Any], part: str | None = None) -> None:
        """Keep the document with something changed; for callbacks, so of the newest draft."""
        with refusing():
            held.change(self.here, self.one.kind, self.one.id, made, part)

    def put(self, path: Path, value: Any) -> None:
        """Keep the document with one thing changed; for callbacks."""
        self.change(lambda body: put(body, path, value), str(path[0]))

    def names(self, *kinds: Kind) -> tuple[str, ...]:
        """Ids of the recipes and dishes that there are."""
        return tuple(sorted(id for kind, id in self.documents if kind in kinds))


    def called(self, id: object) -> str:
        """What a recipe is called, for choices; where two have one name, with the id."""
        found = self._called.get(str(id))
        return str(id) if found is None else found

    @cached_property
    def _called(self) -> dict[str, str]:
        bodies = {
            id: body for (kind, id), body in self.documents.items()
            if kind in ("component", "dish") and isinstance(body, dict) and body.get("name")
        }  # fmt: skip
        names = {id: short(body["name"], 60) for id, body in bodies.items()}
        often = Counter(names.values())
        return {id: name if often[name] == 1 else f"{name} ({id})" for id, name in names.items()}


def key_of(form: str, *path: object) -> str:
    """What the key of a widget begins with that belongs to a form, or its whole key."""
    return "|".join((KEYS, form, *map(str, path)))


def opened(here: Here, kind: Kind, id: str) -> Form:
    """Open a document on this page.

    Raises
    ------
    NotThere, NotAllowed
    """
    one = held.now(here, kind, id)
    said = held.told(one)
    with refusing():
        held.hold_again(here, one)
    for body in news(key_of(one.form), one.body):
        with refusing():
            held.hold(here, one, {} if body is ABSENT else body)
        one = held.now(here, kind, id)
    held.show(one)
    look_elsewhere(here, kind, id, said)
    documents = {r.key: r.body for r in heads(here.book, here.who) if r.body is not None}
    for other in together(here, one):
        documents[other.key] = other.body
    found: tuple[Mistake, ...] = ()
    if one.kept:
        week = here.week.id if here.week else None
        others_are = digest({form_of(*k): b for k, b in documents.items() if k != one.key})
        typed = digest({"body": one.body})
        found = _mistakes(others_are, typed, one.key, week, documents, one.body)
    return Form(here, one, documents, found, st.container())


def look_elsewhere(here: Here, kind: Kind, id: str, said: str) -> None:
    """Say what has become of the document elsewhere, now and while it is on the page."""

    def look() -> None:
        one = held.now(here, kind, id)
        if held.elsewhere(one):
            st.info(f"{plain(held.news_of(one), 300)} What you see is how it was.", icon=None)
            if st.button("Show it as it is now", key=key_of(one.form, "look")):
                st.rerun()
        elif said:
            st.info(f"{plain(said, 300)} {held.NOW}.", icon=None)

    with refusing():
        st.fragment(look, run_every=LOOKS)()


def together(here: Here, one: Begun) -> tuple[Begun, ...]:
    """Other documents that are begun and ticked to be saved with this one."""
    ticked = st.session_state.get(together_key(one), ())
    there = {form_of(*key): key for key in others(here, one)}
    found = []
    for form in ticked:
        with suppress(NotThere, KeyError):
            found.append(begun(here.book, here.who, *there[form]))
    return tuple(found)


def together_key(one: Begun) -> str:
    """The key under which the ticks stand."""
    return key_of(one.form, "together")


def others(here: Here, one: Begun) -> tuple[Key, ...]:
    """What else is begun."""
    return tuple(key for key in all_begun(here.book, here.who) if key != one.key)


@st.cache_resource(show_spinner=False, max_entries=32)
def _mistakes(
    others_are: str, typed: str, key: Key, week: str | None, _documents: dict[Key, Body], _body: Any
) -> tuple[Mistake, ...]:
    return mistakes(_documents, key, _body, week)

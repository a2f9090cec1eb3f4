"""Documents from nothing: what somebody must say first.

A button pressed right after typing comes with what was typed, before the page is drawn with it; so
its callback reads the fields themselves.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from scheduler.book.drafts import keep_draft
from scheduler.book.revisions import Kind
from scheduler.domain.wording import fresh
from ui.editing.begun import form_of
from ui.folding import fold, folds
from ui.here import Here, choose
from ui.refusing import refusing


def new_week(at: Here, taken: Sequence[str]) -> None:
    """A week from nothing."""

    def go() -> None:
        first, last = st.session_state["new week first"], st.session_state["new week last"]
        start = f"{first} 00:00" if first else ""
        body = {
            "name": st.session_state["new week name"].strip(), "starts": start,
            "plan_from": start, "ends": f"{last} 23:55" if last else "", "events": [],
        }  # fmt: skip
        if _begin(at, "week", taken, body, "menu-week"):
            fold("new week")

    with folds("Begin a week", "new week"):
        st.text_input("What it is called", key="new week name")
        st.date_input("First day", key="new week first", value=None)
        st.date_input("Last day", key="new week last", value=None)
        st.button("Begin it", key="new week", on_click=go)


def new_recipe(at: Here, taken: Sequence[str], sections: Sequence[str]) -> None:
    """A component or a dish from nothing."""

    def go() -> None:
        typed = {k: st.session_state[f"new recipe {k}"] for k in ("name", "sort", "section")}
        sort: Kind = typed["sort"]
        body: dict[str, Any] = {"name": typed["name"].strip(), "section": typed["section"] or ""}
        if sort == "component":
            makes = st.session_state["new recipe makes"].strip()
            body |= {"makes": makes, "steps": [], "keeps": []}
        else:
            body |= {"takes": []}
        if _begin(at, sort, taken, body, "recipe"):
            fold("new recipe")

    with folds("Add a recipe", "new recipe"):
        st.text_input("What it is called", key="new recipe name")
        st.radio(
            "What it is", ("component", "dish"), key="new recipe sort", horizontal=True,
            captions=("made and kept", "components on a plate"),
        )  # fmt: skip
        st.selectbox("Section", sections, key="new recipe section", index=None)
        st.text_input("How much it makes", key="new recipe makes", placeholder="10 kg")
        st.button("Begin it", key="new recipe", on_click=go)


def _begin(at: Here, kind: Kind, taken: Sequence[str], body: dict[str, Any], key: str) -> bool:
    """Keep it as a draft, and go there; where it cannot be kept, say so."""
    with refusing():
        id = fresh(body["name"], taken, f"new-{kind}")
        written = {k: v for k, v in body.items() if v != ""}
        keep_draft(at.book, at.who, form_of(kind, id), {"id": id} | written)
        choose(key, id)
        return True
    return False

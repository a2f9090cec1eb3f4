"""Documents from nothing: what somebody must say first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from scheduler.book.drafts import keep_draft
from scheduler.book.revisions import Kind
from ui.editing.begun import form_of
from ui.editing.naming import fresh
from ui.here import Here, choose
from ui.refusing import refusing


def new_week(at: Here, taken: Sequence[str]) -> None:
    """A week from nothing."""
    with st.popover("Begin a week"):
        name = st.text_input("What it is called", key="new week name")
        first = st.date_input("First day", key="new week first", value=None)
        last = st.date_input("Last day", key="new week last", value=None)
        start = f"{first} 00:00" if first else ""
        body = {
            "name": name.strip(), "starts": start, "plan_from": start,
            "ends": f"{last} 23:55" if last else "", "events": [],
        }  # fmt: skip
        st.button(
            "Begin it", key="new week", on_click=begin, args=(at, "week", taken, body, "menu-week")
        )


def new_recipe(at: Here, taken: Sequence[str], sections: Sequence[str]) -> None:
    """A component or a dish from nothing."""
    with st.popover("Add a recipe"):
        name = st.text_input("What it is called", key="new recipe name")
        sort = st.radio(
            "What it is", ("component", "dish"), key="new recipe sort", horizontal=True,
            captions=("made and kept", "components on a plate"),
        )  # fmt: skip
        section = st.selectbox("Section", sections, key="new recipe section", index=None)
        makes = st.text_input("How much it makes", key="new recipe makes", placeholder="10 kg")
        body: dict[str, Any] = {"name": name.strip(), "section": section or ""}
        if sort == "component":
            body |= {"makes": makes.strip(), "steps": [], "keeps": []}
        else:
            body |= {"takes": []}
        st.button(
            "Begin it", key="new recipe", on_click=begin, args=(at, sort, taken, body, "recipe")
        )


def begin(at: Here, kind: Kind, taken: Sequence[str], body: dict[str, Any], key: str) -> None:
    """Keep it as a draft, and go there."""
    with refusing():
        id = fresh(body["name"], taken, f"new-{kind}")
        written = {k: v for k, v in body.items() if v != ""}
        keep_draft(at.book, at.who, form_of(kind, id), {"id": id} | written)
        choose(key, id)

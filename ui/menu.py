"""The week's events with their menus, and what is there already."""

from __future__ import annotations

from typing import Any

import streamlit as st

from scheduler.book.listing import weeks
from scheduler.domain.wording import fresh
from scheduler.pasted.what import What
from ui.editing import of_week
from ui.editing.begun import all_begun
from ui.editing.paths import put
from ui.filling.choosing import one_of
from ui.filling.ends import ends, throwing_out
from ui.filling.fields import fields
from ui.filling.news import new_week
from ui.filling.opened import Form, opened
from ui.filling.tables import table
from ui.folding import fold, folds
from ui.here import Here
from ui.pasting import into_form
from ui.wording import plain, short


def show(at: Here) -> None:
    """The week that is chosen, or how to begin one."""
    saved = [w.id for w in weeks(at.book, at.who)]
    new = [id for kind, id in all_begun(at.book, at.who) if kind == "week" and id not in saved]
    ids = ([at.week.id] if at.week else []) + new
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.subheader("Menu")
        if at.chef:
            new_week(at, [*saved, *new])
    place = one_of("Menu of the week", ids, ids, "menu-week") if new else 0
    if not ids or place is None:
        st.write("There is no week yet. Begin one, or import one with `backtime import FOLDER`.")
        return
    form = opened(at, "week", ids[place])
    fields(form, of_week.WEEK)
    events(form)
    with st.expander("What is there already: on hand, in progress, deliveries"):
        there_already(form)
    with st.expander("Wishes"):
        table(form, ("wishes",), of_week.wishes(recipes(form), people(form)), "Wishes")
    ends(form)
    throwing_out(form)


def events(form: Form) -> None:
    """All events as one table, and the menu of one of them."""
    table(form, ("events",), of_week.EVENTS, "Events, and how many come")
    if not form.shut:
        new_event(form)
    into_form(form, What.GUESTS)
    there = listed(form, "events")
    if not there and not form.shut:
        st.write("A week has an event at least: add one, or throw the week out, at the very end.")
    names = [str(e.get("name") or e.get("id") or f"event {i + 1}") for i, e in enumerate(there)]
    ids = [str(e.get("id", i)) for i, e in enumerate(there)]
    place = one_of("Menu of", ids, [short(n) for n in names], "event")
    if place is None:
        return
    path = ("events", place, "menu")
    table(form, path, of_week.menu(form.names("dish")), f"Menu of {plain(names[place])}")
    courses = [c for c in listed(form, *path) if isinstance(c, dict)]
    dishes = [str(c.get("dish", f"dish {i + 1}")) for i, c in enumerate(courses)]
    course = one_of("Diets and waves of", dishes, [form.called(d) for d in dishes], "course")
    if course is not None:
        left, right = st.columns([2, 1])
        with left:
            table(form, (*path, course, "diets"), of_week.DIETS, "Diets")
        with right:
            table(form, (*path, course, "waves"), of_week.WAVES, "Waves")


def new_event(form: Form) -> None:
    """An event from nothing: when, for how many, and its first dish."""
    with folds("Add an event", "new event"):
        st.text_input("What it is called", key="new event name")
        st.text_input("First plate", key="new event when", placeholder="2026-12-12 19:30")
        st.number_input("Guests", 1, 100000, 50, key="new event guests")
        st.selectbox(
            "First dish", form.names("dish"), key="new event dish", index=None,
            format_func=form.called,
        )  # fmt: skip
        st.button("Add it", key="new event", on_click=add_event, args=(form,))


def add_event(form: Form) -> None:
    """Put what is typed at the end; what is still wrong with it is said under the table."""
    name, when, guests, dish = (
        st.session_state[f"new event {k}"] for k in ("name", "when", "guests", "dish")
    )

    def made(body: Any) -> Any:
        events = body.get("events") or []
        taken = [str(e.get("id")) for e in events if isinstance(e, dict)]
        entry = {
            "id": fresh(name, taken, "event"), "name": name.strip(), "first_plate": when.strip(),
            "guests": guests, "menu": [{"dish": dish}] if dish else [],
        }  # fmt: skip
        written = {k: v for k, v in entry.items() if v != ""}
        return put(body, ("events",), [*events, written])

    form.change(made, "events")
    fold("new event")


def there_already(form: Form) -> None:
    """On hand, in progress, deliveries."""
    stores = [str(s.get("id")) for s in kitchen(form).get("stores", [])]
    ids = [str(e.get("id")) for e in listed(form, "events")]
    components = recipes(form)
    into_form(form, What.COUNTS)
    table(form, ("on_hand",), of_week.on_hand(components, stores, ids), "On hand")
    table(form, ("in_progress",), of_week.in_progress(components, ids), "In progress")
    table(form, ("deliveries",), of_week.DELIVERIES, "Deliveries")


def listed(form: Form, *path: str | int) -> list[Any]:
    """A list of the document; nothing where something else stands there."""
    there = form.at(path)
    return [e if isinstance(e, dict) else {} for e in there] if isinstance(there, list) else []


def recipes(form: Form) -> tuple[str, ...]:
    """Ids of components."""
    return form.names("component")


def people(form: Form) -> list[str]:
    """Ids of the brigade."""
    return [str(p.get("id")) for p in kitchen(form).get("people", [])]


def kitchen(form: Form) -> dict[str, Any]:
    """The kitchen as it is in the book."""
    return form.documents.get(("kitchen", form.here.who.kitchen), {})

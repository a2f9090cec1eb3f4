"""People, when they work, and standing duties."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from typing import Any

import streamlit as st

from scheduler.book.address import ADDRESS, address
from scheduler.book.links import calendar_link
from scheduler.book.sign_in import who_can
from scheduler.domain import roster
from scheduler.pasted.what import What
from scheduler.plan.words import day_words
from ui.editing import of_kitchen
from ui.editing.mistakes import beside
from ui.editing.paths import put
from ui.editing.words import Field
from ui.filling.choosing import one_of
from ui.filling.ends import ends
from ui.filling.fields import field, wrong
from ui.filling.opened import Form, opened
from ui.filling.tables import table
from ui.folding import fold, folds
from ui.here import Here
from ui.pasting import into_form
from ui.refusing import refusing
from ui.wording import plain, short

WEEK = 7
MOST = 15
"""Rows of the shifts that are seen at once; the days stay above the others while they scroll."""
OFF_DAYS = Field(("off",), "Days off", "words")


def show(at: Here) -> None:
    """The brigade of the kitchen."""
    st.subheader("Brigade")
    form = opened(at, "kitchen", at.who.kitchen)
    shifts(form)
    into_form(form, What.SHIFTS)
    table(form, ("people",), of_kitchen.PEOPLE, "People")
    one_person(form)
    with st.expander("Sections"):
        table(form, ("sections",), of_kitchen.SECTIONS, "Sections")
    sections = [str(s.get("id")) for s in _listed(form, "sections")]
    table(form, ("duties",), of_kitchen.duties(sections), "Standing duties")
    ends(form)
    calendars(at)


def calendars(at: Here) -> None:
    """Where somebody's calendar is found, for those who may give it out."""
    if not at.leads:
        return
    with st.expander("Calendars"), refusing():
        where = address()
        there = who_can(at.book, at.who.kitchen)
        if where is None or not there:
            st.write(
                f"Each person can subscribe to their jobs, once {ADDRESS} says where phones find "
                "these screens and they have a code (`backtime code PERSON`)."
            )
            return
        names = dict(there)
        person = st.selectbox("Calendar of", list(names), key="calendar-of", index=None,
                              format_func=lambda id: short(names[id], 60), width=320)  # fmt: skip
        if person is not None:
            st.code(f"{where}/calendar/{calendar_link(at.book, at.who, person)}.ics", None)
            st.caption("Whoever has this address reads the jobs; it ends with their code.")


def shifts(form: Form) -> None:
    """Who works when: a row for each person, a column for each day."""
    people = _listed(form, "people")
    days = _days(form)
    if not people:
        st.write("There is nobody yet: add a row to the people below.")
        return
    st.markdown("**Shifts**")
    names = [short(p.get("name") or p.get("id") or f"person {i + 1}") for i, p in enumerate(people)]
    labels = [day_words(d) for d in days]
    rows = [
        {"Person": name} | {w: roster.cell(p, d) for w, d in zip(labels, days, strict=True)}
        for name, p in zip(names, people, strict=True)
    ]
    key = form.key("roster")
    st.dataframe(
        rows, key=key, hide_index=True, selection_mode="multi-cell", on_select="rerun",
        height=38 + 35 * min(len(rows), MOST), alt="Shifts by person and day",
        column_config={"Person": st.column_config.TextColumn(pinned=True)},
    )  # fmt: skip
    if form.shut:
        return
    picked = _picked(st.session_state.get(key), labels, len(people))
    if picked:
        set_cells(form, picked, names, people, days)
    else:
        st.caption("Choose a person's day, or draw over several, to change it.")
    copy_week(form, days)


def set_cells(
    form: Form,
    picked: Sequence[tuple[int, int]],
    names: Sequence[str],
    people: Sequence[dict[str, Any]],
    days: Sequence[date],
) -> None:
    """Hours, a day off, or nothing for the cells that are chosen."""
    who = list(dict.fromkeys(names[row] for row, _ in picked))
    when = sorted({days[column] for _, column in picked})
    said = f"{_some(who)}, {_some([day_words(d) for d in when])}"
    patterned = {p for row, _ in picked for p in roster.patterns(people[row])}
    first = roster.cell(people[picked[0][0]], days[picked[0][1]])
    with st.container(border=True):
        st.markdown(f"**{plain(said)}**")
        with st.container(horizontal=True, vertical_alignment="bottom"):
            for label, text in (("Off", roster.OFF), ("No shift", "")):
                st.button(
                    label, key=form.key(label), on_click=_set,
                    args=(form, picked, days, lambda text=text: text),
                )
            hours = form.key("hours", "-".join(map(str, picked[0])))
            st.text_input(
                "Hours", value="" if first == roster.OFF else first, key=hours,
                placeholder="07:30-16:30",
            )  # fmt: skip
            st.button(
                "Set the hours", key=form.key("set"), on_click=_set,
                args=(form, picked, days, lambda: st.session_state[hours]),
            )  # fmt: skip
        if patterned:
            st.caption(plain(
                f"Some of these shifts repeat ({', '.join(sorted(patterned))}). Changing one day "
                "writes the pattern out as the dates shown here; other weeks lose it.", 300,
            ))  # fmt: skip


def copy_week(form: Form, days: Sequence[date]) -> None:
    """The shifts of seven days again, later or earlier, for everybody."""
    with folds("Copy a week", form.key("copy")):
        first = st.date_input("Seven days from", value=days[0], key=form.key("copy from"))
        to = st.date_input("To seven days from", value=None, key=form.key("copy to"))
        ready = isinstance(first, date) and isinstance(to, date) and first != to
        st.button(
            "Copy", key=form.key("copy"), disabled=not ready, on_click=_copy,
            args=(form, days),
        )  # fmt: skip


def one_person(form: Form) -> None:
    """The shifts of one person as they are written, with breaks."""
    people = _listed(form, "people")
    ids = [str(p.get("id", i + 1)) for i, p in enumerate(people)]
    names = [short(p.get("name") or ids[i]) for i, p in enumerate(people)]
    place = one_of("Shifts and breaks of", ids, names, "person")
    if place is None:
        return
    path = ("people", place)
    table(form, (*path, "shifts"), of_kitchen.SHIFTS, "As written, with breaks")
    field(form, OFF_DAYS, path)
    own = [m for m in beside(form.found, path, deep=False) if m not in form.shown]
    wrong(form.told(own))


def _set(
    form: Form, picked: Sequence[tuple[int, int]], days: Sequence[date], typed: Callable[[], str]
) -> None:
    text = typed()  # now: a button pressed right after typing comes before the page is drawn anew

    def made(person: dict[str, Any], row: int) -> dict[str, Any]:
        for _, column in (cell for cell in picked if cell[0] == row):
            person = roster.with_cell(person, days[column], text, days)
        return person

    _people(form, made)


def _copy(form: Form, days: Sequence[date]) -> None:
    first, to = (st.session_state[form.key(f"copy {end}")] for end in ("from", "to"))
    if first is None or to is None:
        return
    week = [first + timedelta(days=n) for n in range(WEEK)]
    window = sorted({*days, *week, *(to + timedelta(days=n) for n in range(WEEK))})
    by = (to - first).days
    _people(form, lambda person, _: roster.copied(person, week, by, window))
    fold(form.key("copy"))


def _people(form: Form, made: Callable[[dict[str, Any], int], dict[str, Any]]) -> None:
    """Keep the kitchen with its people changed."""

    def of(body: Any) -> Any:
        people = body.get("people") or []
        new = [made(p, i) if isinstance(p, dict) else p for i, p in enumerate(people)]
        return put(body, ("people",), new)

    form.change(of, "people")


def _days(form: Form) -> tuple[date, ...]:
    """The days of the week that is looked at; a week from today where there is none."""
    week = form.here.week
    if week is None:
        today = form.here.book.clock().date()
        return roster.days_between(today, today + timedelta(days=WEEK - 1))
    last = week.ends if week.ends.time() > datetime.min.time() else week.ends - timedelta(days=1)
    return roster.days_between(week.starts.date(), last.date())


def _picked(state: Any, labels: Sequence[str], people: int) -> list[tuple[int, int]]:
    """Rows and columns of the cells that are chosen."""
    cells = (state or {}).get("selection", {}).get("cells", [])
    places = {label: i for i, label in enumerate(labels)}
    return sorted((row, places[name]) for row, name in cells if name in places and row < people)


def _some(words: Sequence[str]) -> str:
    return ", ".join(words[:4]) + (f" and {len(words) - 4} more" if len(words) > 4 else "")


def _listed(form: Form, *path: str | int) -> list[dict[str, Any]]:
    there = form.at(path)
    return [e if isinstance(e, dict) else {} for e in there] if isinstance(there, list) else []

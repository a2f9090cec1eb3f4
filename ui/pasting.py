"""A table from a spreadsheet, pasted or brought in: what it would change, and then taken over.

Into a form it goes as a draft, which is looked at before it is saved; recipes are saved together,
all or none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import streamlit as st

from scheduler.book.differences import Difference, differences
from scheduler.book.documents import heads, save, would_change
from scheduler.book.errors import BookError
from scheduler.book.revisions import Change
from scheduler.book.saving import as_written
from scheduler.book.telling import document
from scheduler.domain.problems import BadInput, Problem
from scheduler.pasted.documents import Made, made
from scheduler.pasted.grid import Grid, pasted
from scheduler.pasted.spreadsheet import MOST_BYTES, opened, pages
from scheduler.pasted.what import What
from ui.editing.begun import begun
from ui.filling import held
from ui.filling.fields import MOST
from ui.filling.opened import Form
from ui.here import Here, choose
from ui.refusing import refusing
from ui.wording import plain

PASTED = "what was pasted"
_HEADINGS = {
    What.GUESTS: "event (or date), guests; tables, and a column for each diet or dish, or dish and "
    "portions in rows of their own",
    What.COUNTS: "what, amount, made; where, lot, state and reserved for where you have them",
    What.SHIFTS: "a column of names and one for each day (2026-12-03) with hours or 'off'; or "
    "who, day, from, to",
    What.RECIPES: "recipe, step, what is done, time, at most, people, equipment, amount, after; of "
    "a new recipe section, makes, keeps and kept in",
    What.INGREDIENTS: "recipe, ingredient, amount; yield and step where you have them",
}
_DOES = {
    What.GUESTS: "What is left empty stays as it is, and so does every other event.",
    What.COUNTS: "They stand in place of everything that was on hand.",
    What.SHIFTS: "Other people and other days stay as they are.",
    What.RECIPES: "A row for each step, in order. What is left empty stays as it is, 'none' takes "
    "it out.",
    What.INGREDIENTS: "They stand in place of what went into the step or onto the plate.",
}
_OF_RECIPES = {What.RECIPES: "Steps, a row for each", What.INGREDIENTS: "What goes in"}


@dataclass(frozen=True)
class _Looked:
    """What a table would change.

    Attributes
    ----------
    lines : tuple of str
        Each change, in words.
    changes : tuple of Change
        What is saved, where it is saved at once.
    """

    grid: Grid
    found: Made
    lines: tuple[str, ...]
    changes: tuple[Change, ...] = ()


def into_form(form: Form, what: What) -> None:
    """Guests or counts on the form of a week, shifts on that of the kitchen."""
    if form.shut:
        return
    here, one = form.here, form.one

    def found_in(grid: Grid) -> Made:
        body = begun(here.book, here.who, one.kind, one.id).body
        there = {**form.documents, one.key: body if isinstance(body, dict) else {}}
        return made(what, grid, there, one.id)

    def look(grid: Grid) -> _Looked:
        found = found_in(grid)
        before = Change(one.kind, one.id, begun(here.book, here.who, one.kind, one.id).body, 0)
        after = Change(one.kind, one.id, found.bodies[one.key], 0)
        return _Looked(grid, found, _lines(differences(as_written(before), as_written(after))))

    def take(looked: _Looked) -> str:
        body = found_in(looked.grid).bodies[one.key]
        held.change(here, one.kind, one.id, lambda _: body, None)
        return f"The {what} are in. Look at them, then save."

    with st.expander(f"{what.capitalize()} from a spreadsheet"):
        _box(form.key("paste", what), what, "Put it in", look, take)


def into_recipes(at: Here) -> None:
    """Recipes step by step, or what goes into them; saved at once."""
    if not at.chef:
        return

    def look(grid: Grid) -> _Looked:
        there = {r.key: r for r in heads(at.book, at.who)}
        found = made(what, grid, {key: r.body or {} for key, r in there.items()}, "")
        changes = tuple(
            Change("dish" if kind == "dish" else "component", id, body,
                   there[kind, id].number if (kind, id) in there else 0)
            for (kind, id), body in found.bodies.items()
        )  # fmt: skip
        try:
            return _Looked(grid, found, _lines(would_change(at.book, at.who, changes)), changes)
        except BadInput as bad:
            raise found.by_rows(bad, grid.source, {document(*k): k for k in found.rows}) from None

    def take(looked: _Looked) -> str:
        saved = save(at.book, at.who, looked.changes)
        for one in saved:
            held.let_go(begun(at.book, at.who, one.kind, one.id))
        choose("recipe", saved[0].id)
        return f"Saved: {', '.join(document(*one.key) for one in saved[:MOST])}" + (
            f" and {len(saved) - MOST} more." if len(saved) > MOST else "."
        )

    with st.expander("Recipes from a spreadsheet"):
        what = st.radio(
            "What the table has", tuple(_OF_RECIPES), format_func=lambda w: _OF_RECIPES[w],
            horizontal=True, key="paste recipes what",
        )  # fmt: skip
        _box(f"paste {what}", what, "Save it", look, take)


def _box(
    key: str, what: What, label: str, look: Callable[[Grid], _Looked],
    take: Callable[[_Looked], str],
) -> None:  # fmt: skip
    st.caption(f"Headings: {_HEADINGS[what]}. {_DOES[what]}")
    number = st.session_state.setdefault(f"{key} number", 0)
    st.text_area(
        f"Copied cells of {what}, with their headings", key=f"{key} text {number}", height=120,
        on_change=_forget, args=(key,),
    )  # fmt: skip
    st.file_uploader(
        "Or a workbook", type="xlsx", key=f"{key} file {number}",
        max_upload_size=MOST_BYTES // 2**20, on_change=_brought, args=(key, number),
    )  # fmt: skip
    names = st.session_state.get(f"{key} pages", ())
    if len(names) > 1:
        st.selectbox(
            "Page", names, key=f"{key} page {number}", on_change=_forget, args=(key,)
        )
    st.button("See what it changes", key=f"{key} look", on_click=_look, args=(key, number, look))
    _told(key, label, take)


def _told(key: str, label: str, take: Callable[[_Looked], str]) -> None:
    """What came of looking: mistakes, or what would change and a button for it."""
    wrong, done = (st.session_state.get(f"{key} {word}") for word in ("wrong", "done"))
    looked: _Looked | None = st.session_state.get(f"{key} looked")
    if wrong:
        st.error("  \n".join(plain(line, 600) for line in wrong), icon=None)
    if done:
        st.success(plain(done, 600), icon=None)
    if looked is None:
        return
    with st.container(border=True):
        st.markdown(f"**{plain(looked.found.says, 300)}**")
        said = [*looked.lines[:MOST]]
        if len(looked.lines) > MOST:
            said.append(f"… and {len(looked.lines) - MOST} more changes")
        st.markdown("\n".join(f"- {plain(line, 400)}" for line in said))
        for note in looked.found.notes[:MOST]:
            st.markdown(plain(note, 400))
        if looked.found.unused:
            st.markdown(plain(f"Not used: {', '.join(looked.found.unused)}.", 400))
        if looked.lines:
            st.button(label, key=f"{key} take", type="primary", on_click=_take, args=(key, take))
        else:
            st.markdown("That is how it stands already.")


def _forget(key: str) -> None:
    for word in ("looked", "wrong", "done"):
        st.session_state.pop(f"{key} {word}", None)


def _brought(key: str, number: int) -> None:
    """A workbook has come, or is gone: which pages it has."""
    _forget(key)
    st.session_state.pop(f"{key} pages", None)
    file = st.session_state.get(f"{key} file {number}")
    if file is not None:
        name = _name(file)
        with _telling(key, name):
            st.session_state[f"{key} pages"] = pages(file.getvalue(), name)


def _look(key: str, number: int, look: Callable[[Grid], _Looked]) -> None:
    _forget(key)
    file = st.session_state.get(f"{key} file {number}")
    with _telling(key, PASTED if file is None else _name(file)):
        if file is not None:
            page = st.session_state.get(f"{key} page {number}")
            grid = opened(file.getvalue(), _name(file), page)
        else:
            grid = pasted(str(st.session_state.get(f"{key} text {number}") or ""), PASTED)
        if not list(grid.filled()):
            raise BadInput([Problem(grid.source, None, None, "", "there is nothing in it yet")])
        st.session_state[f"{key} looked"] = look(grid)


def _take(key: str, take: Callable[[_Looked], str]) -> None:
    looked = st.session_state[f"{key} looked"]
    _forget(key)
    with _telling(key, looked.grid.source):
        st.session_state[f"{key} done"] = take(looked)
        st.session_state[f"{key} number"] += 1  # fields of their own, which are empty
        st.session_state.pop(f"{key} pages", None)


@contextmanager
def _telling(key: str, source: str) -> Iterator[None]:
    """What is refused is told below, by its cell; anything else is our fault."""
    with refusing():
        try:
            yield
        except BadInput as bad:
            said = [_said(problem, source) for problem in bad.problems]
            if len(said) > MOST:
                said[MOST:] = [f"… and {len(said) - MOST} more mistakes"]
            st.session_state[f"{key} wrong"] = said
        except BookError as error:
            st.session_state[f"{key} wrong"] = [str(error)]


def _said(problem: Problem, source: str) -> str:
    """A mistake, without the name of the table that is before one's eyes."""
    if problem.file != source:
        return str(problem)
    return str(problem).removeprefix(f"{source}  ").removeprefix(f"{source}: ")


def _lines(found: Iterable[Difference]) -> tuple[str, ...]:
    return tuple(one.says for one in found)


def _name(file: object) -> str:
    return str(getattr(file, "name", ""))[:80]

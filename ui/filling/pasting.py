"""A table from a spreadsheet, pasted or brought in, put into the document that is on the page."""

from __future__ import annotations

import streamlit as st

from scheduler.domain.problems import BadInput, Problem
from scheduler.pasted.documents import made
from scheduler.pasted.grid import Grid, pasted
from scheduler.pasted.spreadsheet import MOST_BYTES, opened
from scheduler.pasted.what import What
from ui.editing.begun import begun
from ui.filling.opened import Form
from ui.refusing import refusing
from ui.wording import plain

MOST = 12
"""So many mistakes are shown at once."""
_COLUMNS = {
    What.COUNTS: "what, amount, made; where, lot, state and reserved for where you have them",
    What.SHIFTS: "a column of names and one for each day (2026-12-03) with hours or `off`; or "
    "who, day, from, to",
}
_DOES = {
    What.COUNTS: "They stand in place of everything that was on hand.",
    What.SHIFTS: "Other people and other days stay as they are.",
}


def paste_box(form: Form, what: What) -> None:
    """Draw it; what it says goes into the form, where it is looked at before it is saved.

    Parameters
    ----------
    what : What
        Counts on the form of a week, shifts on that of the kitchen.
    """
    if form.shut:
        return
    with st.popover(f"Bring in {what} from a spreadsheet"):
        st.caption(f"Headings: {_COLUMNS[what]}. {_DOES[what]}")
        key = form.key("paste", what)
        st.text_area("Copied cells, with their headings", key=f"{key} text", height=120)
        st.file_uploader(
            "Or a workbook", type="xlsx", key=f"{key} file", max_upload_size=MOST_BYTES // 2**20
        )
        st.button("Put it in", key=f"{key} go", on_click=_put_in, args=(form, what, key))


def _put_in(form: Form, what: What, key: str) -> None:
    here, one = form.here, form.one
    with refusing():
        body = begun(here.book, here.who, one.kind, one.id).body
        there = {**form.documents, one.key: body if isinstance(body, dict) else {}}
        try:
            found = made(what, _grid(key), there, one.id)
        except BadInput as bad:
            raise _some(bad) from None
        form.change(lambda _: found.bodies[one.key])
        for note in found.notes:
            st.warning(plain(note, 400), icon=None)
        if found.unused:
            st.warning(plain(f"Not used: {', '.join(found.unused)}.", 400), icon=None)
        st.session_state[f"{key} text"] = ""
        st.toast(f"The {what} are in. Look at them, then save.")


def _grid(key: str) -> Grid:
    file = st.session_state.get(f"{key} file")
    if file is not None:
        return opened(file.getvalue(), str(file.name)[:80])
    text = str(st.session_state.get(f"{key} text") or "")
    if not text.strip():
        raise BadInput([Problem("what was pasted", None, None, "", "there is nothing in it yet")])
    return pasted(text)


def _some(bad: BadInput) -> BadInput:
    more = len(bad.problems) - MOST
    file = bad.problems[0].file
    last = [Problem(file, None, None, "", f"and {more} more mistakes")] if more > 0 else []
    return BadInput([*bad.problems[:MOST], *last])

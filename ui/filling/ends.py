"""Where a form ends: saving, two versions of one document, its text, throwing it out."""

from __future__ import annotations

from typing import Any

import streamlit as st

from scheduler.book.drafts import draft, drop_draft, keep_draft
from scheduler.book.errors import BookError, NotThere
from scheduler.book.telling import document
from ui.editing.begun import (
    Begun,
    forget,
    form_of,
    rebase,
    save_all,
    text_form,
    throw_out,
    versions,
)
from ui.editing.written import body_of, mistakes_of_text, read_back, text_of_document
from ui.filling import held
from ui.filling.fields import MOST, wrong
from ui.filling.opened import Form, others, together, together_key
from ui.moments import told
from ui.refusing import refusing
from ui.wording import plain


def ends(form: Form) -> None:
    """Draw what belongs to the document as a whole; called when all of its fields are drawn."""
    as_text(form)
    with form.top:
        if form.shut:
            st.caption("You may look; changing it takes a chef.")
            return
        if form.one.overtaken:
            two_versions(form)
        saving(form)


def saving(form: Form) -> None:
    """Save what is typed, or let it go; as high when nothing is typed, so that nothing jumps."""
    shown = set(form.shown)
    left = [m for m in form.found if m not in shown]
    count = len(form.found)
    many = f"{count} things are" if count > 1 else "One thing is"
    says = f"{many} wrong; mend that and save." if count else "Changed and not saved yet."
    kept = "It is kept as you left it, also when you close this page."
    if held.only_here(form.one):
        kept = "It is not kept: do not close this page."
    said = f"**{says}** {kept}"
    head = form.one.head
    if not form.one.kept and head is not None:
        said = plain(f"Saved as revision {head.number} by {head.who}, {told(form.here, head.at)}.")
    with st.container(border=True):
        st.markdown(said)
        wrong(left[:MOST], place=True)
        if len(left) > MOST:
            st.markdown(f"… and {len(left) - MOST} more")
        more = [form_of(*key) for key in others(form.here, form.one)]
        if more and form.one.kept:
            st.multiselect(
                "Save together with", more, key=together_key(form.one),
                help="Where two documents need each other's change.",
            )  # fmt: skip
        with st.container(horizontal=True):
            st.button(
                "Save", key=form.key("save"), type="primary", on_click=_save, args=(form,),
                disabled=bool(count) or form.one.overtaken or not form.one.kept,
            )  # fmt: skip
            st.button(
                "Let go what I typed", key=form.key("forget"), on_click=_forget, args=(form,),
                disabled=not form.one.kept,
            )  # fmt: skip


def two_versions(form: Form) -> None:
    """What somebody else saved meanwhile beside what is typed here: choose, or put together."""
    both = versions(form.here.book, form.here.who, form.one)
    theirs = both.theirs
    gone = theirs.body is None
    verb = "thrown out" if gone else "saved"
    with st.container(border=True):
        st.markdown(
            f"**{plain(theirs.who)} has {verb} this as revision {theirs.number} since you began.** "
            "From theirs to yours:"
        )
        for one in both.differences[:MOST]:
            st.markdown(f"- {plain(one.says, 400)}")
        if len(both.differences) > MOST:
            st.markdown(f"- … and {len(both.differences) - MOST} more")
        if both.both.conflicts and not gone:
            st.markdown("Both of you changed these, each in another way:")
            for clash in both.both.conflicts[:MOST]:
                st.markdown(f"- {plain(clash.says, 400)}")
        with st.container(horizontal=True):
            if not gone and both.both.conflicts:
                _choice(form, "Both, mine where they clash", both.put_together(True))
                _choice(form, "Both, theirs where they clash", both.put_together(False))
            elif not gone:
                _choice(form, "Put both together", both.put_together(True))
            _choice(form, "Only mine", form.one.body)
            st.button(
                "Only theirs", key=form.key("theirs"), on_click=_forget, args=(form,)
            )


def as_text(form: Form) -> None:
    """The whole document as text."""
    if not st.toggle(
        "As text, with everything that stands in no field above", key=form.key("as text")
    ):
        return
    left = _left_text(form)
    text = left or text_of_document(form.one.body)
    key = form.key("text")
    if st.session_state.get(key) != text:
        st.session_state[key] = text
    lines = text.count("\n") + 2
    st.text_area(
        "The document as it would stand in a written week", key=key, disabled=form.shut,
        height=min(900, max(200, 24 * lines)), on_change=_rewritten, args=(form,),
    )  # fmt: skip
    if form.one.kept or left:
        week = form.here.week.id if form.here.week else None
        wrong(mistakes_of_text(form.documents, form.one.key, text, week)[:MOST], place=True)


def throwing_out(form: Form) -> None:
    """A button that throws the document out of the book, after asking once more."""
    if form.shut:
        return
    what = plain(document(*form.one.key))
    with st.popover("Throw out"):
        st.markdown(f"{what} leaves the book. Its revisions stay, so it can be written anew.")
        st.button(
            "Throw it out", key=form.key("out"), on_click=_out, args=(form,), type="primary"
        )


def _choice(form: Form, label: str, body: Any) -> None:
    st.button(label, key=form.key(label), on_click=_rebase, args=(form, body))


def _now(form: Form) -> Begun:
    """The document as this tab shows it, or a refusal: nobody ends what they have not seen."""
    one = held.now(form.here, form.one.kind, form.one.id)
    if held.elsewhere(one):
        raise BookError(f"{held.news_of(one)} {held.NOW}: look, and then press again.")
    return one


def _ended(form: Form) -> None:
    held.let_go(form.one)
    st.session_state.pop(_left(form), None)


def _save(form: Form) -> None:
    week = form.here.week.id if form.here.week else None
    with refusing():
        more = together(form.here, form.one)
        saved = save_all(form.here.book, form.here.who, (_now(form), *more), week)
        _ended(form)
        for one in more:
            held.let_go(one)
        st.toast(plain(f"Saved {document(*saved[0].key)} as revision {saved[0].number}."))


def _forget(form: Form) -> None:
    with refusing():
        forget(form.here.book, form.here.who, _now(form))
        _ended(form)


def _rebase(form: Form, body: Any) -> None:
    with refusing():
        rebase(form.here.book, form.here.who, _now(form), body)
        _ended(form)


def _out(form: Form) -> None:
    with refusing():
        throw_out(form.here.book, form.here.who, _now(form))
        _ended(form)
        st.toast(plain(f"Thrown out: {document(*form.one.key)}."))


def _left(form: Form) -> str:
    return form.key("left text")


def _left_text(form: Form) -> str:
    """A text that cannot be read, or not go in, and stays all the same."""
    try:
        kept = str(draft(form.here.book, form.here.who, text_form(form.one)).body)
    except NotThere:
        kept = ""
    return str(st.session_state.get(_left(form), kept))


def _rewritten(form: Form) -> None:
    text = str(st.session_state[form.key("text")])
    book, who = form.here.book, form.here.who
    st.session_state[_left(form)] = text
    with refusing():
        tree, _ = read_back(text, document(*form.one.key))
        if tree is None:
            keep_draft(book, who, text_form(form.one), text)
            return
        held.change(form.here, *form.one.key, lambda _: body_of(form.one.key, tree), None)
        drop_draft(book, who, text_form(form.one))
        st.session_state.pop(_left(form), None)

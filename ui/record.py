"""The record on a screen: ways to its logs and to the sheets, and real times beside planned."""

from __future__ import annotations

from fractions import Fraction
from html import escape
from urllib.parse import urlencode

import streamlit as st

from scheduler.book.documents import revision, save
from scheduler.book.errors import BookError
from scheduler.book.listing import weeks
from scheduler.book.record import record_of
from scheduler.book.revisions import Change
from scheduler.domain.problems import BadInput
from scheduler.outputs.durations import (
    APART,
    ENOUGH,
    Compared,
    Of,
    as_measured,
    compared,
    time_of,
    took,
    written,
)
from scheduler.plan.words import Names, several
from ui.here import Here, names_in
from ui.refusing import told
from ui.wording import plain, short

_DONE = "record-done"


def show(at: Here) -> None:
    """Draw it."""
    st.subheader("The record")
    if at.week is None:
        st.write("There is no week yet. Bring one in with `backtime import FOLDER`.")
        return
    query = {"kitchen": at.who.kitchen, "week": at.week.id}
    entries = len(record_of(at.book, at.who, at.week.id))
    st.write(
        f"{several(entries, 'entry', 'entries')} of this week. That nothing is entered is not late."
    )
    # Streamlit's own links open another tab.
    log, sheets = (escape(f"{where}?{urlencode(query)}") for where in ("/log", "/sheet"))
    st.html(
        f'<p><a href="{log}" style="color: inherit">The log, by day or batch, to print</a></p>'
        f'<p><a href="{sheets}" style="color: inherit">Sheets for phones, where it is written</a>'
        "</p>"
    )
    for kind, sentence in st.session_state.pop(_DONE, []):
        (st.success if kind == "fine" else st.error)(plain(sentence, 600), icon=None)
    _durations(at)


def _durations(at: Here) -> None:
    st.markdown("##### How long it really takes")
    found, names = _measured(at)
    if not found:
        st.write(
            "Nothing is known yet. It is where a job was ticked as begun, or was loaded, and "
            "ticked again when it was over."
        )
        return
    st.dataframe(
        {
            "recipe": [short(_called(names, c.of)) for c in found],
            "step": [short(_step(names, c.of)) for c in found],
            "times": [c.times for c in found],
            "planned, min": [float(c.planned) for c in found],
            "really, min": [float(c.really) for c in found],
            "really by planned": [float(round(c.ratio, 2)) for c in found],
            "half of them between": [f"{_two(c.low)} and {_two(c.high)}" for c in found],
        },
        hide_index=True,
    )  # fmt: skip
    for one in found:
        if one.doubted:
            _offer(at, names, one)
    st.caption(
        plain(
            f"Medians. A recipe's time is doubted after {ENOUGH} times, where the median is more "
            f"than {round(APART * 100)} % from what was planned.",
            300,
        )
    )


def _measured(at: Here) -> tuple[list[Compared], Names | None]:
    """All weeks of the kitchen together, each entry by the plan that it was entered from."""
    some, names = [], None
    for week in weeks(at.book, at.who):
        record = record_of(at.book, at.who, week.id)
        numbers = sorted({e.number for e in record if e.number is not None})
        plans = {n: names_in(at.book, at.who, n) for n in numbers}
        some += took(plans, record)
        names = plans[numbers[-1]] if numbers else names
    return compared(some), names


def _offer(at: Here, names: Names | None, one: Compared) -> None:
    newest = revision(at.book, at.who, one.of.kind, one.of.id)
    now = time_of(newest.body or {}, one.of)
    new = as_measured(newest.body or {}, one.of, one.ratio)
    what = f"{_called(names, one.of)}, {_step(names, one.of)}"
    measured = (
        f"{what}: {_two(one.ratio)} times as long as planned ({one.times} times, half of them "
        f"between {_two(one.low)} and {_two(one.high)})."
    )
    if now is None:
        return  # The recipe has no such step any more.
    if new is None:
        st.write(plain(f"{measured} It has a range: change it on the page Recipes.", 400))
        return
    st.write(plain(f"{measured} Written: {written(now)}.", 400))
    if at.leads:
        st.button(
            short(f"Use what was measured: {written(time_of(new, one.of))}"),
            key=f"measured-{one.of.kind}-{one.of.id}-{one.of.method}-{one.of.step}",
            on_click=_use, args=(at, one, newest.number, what),
        )  # fmt: skip


def _use(at: Here, one: Compared, base: int, what: str) -> None:
    """Save it as a revision of the recipe, from the one that was shown."""
    try:
        shown = revision(at.book, at.who, one.of.kind, one.of.id, base)
        new = as_measured(shown.body or {}, one.of, one.ratio)
        save(at.book, at.who, [Change(one.of.kind, one.of.id, new, base)])
        said = [("fine", f"{what}: the recipe has the time that was measured. Plan anew with it.")]
    except (BookError, BadInput) as refused:
        said = [("wrong", sentence) for sentence in told(refused)]
    st.session_state[_DONE] = said


def _called(names: Names | None, of: Of) -> str:
    return names.component(of.id) if names is not None else of.id


def _step(names: Names | None, of: Of) -> str:
    if names is None:
        return of.step
    batches = (b.id for b in names.plan.batches if of.id in (b.component, b.dish))
    found = next((names.step(b, of.step) for b in batches), of.step)
    return f"{found} ({of.method})" if of.method else found


def _two(ratio: Fraction) -> str:
    return f"{float(ratio):.2f}".rstrip("0").rstrip(".")

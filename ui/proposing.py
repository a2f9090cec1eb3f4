"""A plan that was made because something had happened, on its way to the wall."""

from __future__ import annotations

from datetime import datetime

import streamlit as st

from scheduler.book.errors import BookError
from scheduler.book.jobs import jobs
from scheduler.book.plans import KeptPlan, text_of
from scheduler.book.record import record_of
from scheduler.book.setbacks import setbacks
from scheduler.domain.problems import BadInput
from scheduler.reshuffle.asking import asked
from scheduler.reshuffle.besides import besides as said_besides
from scheduler.reshuffle.setback import setback_of
from ui.here import Here, plan_file


def answered_by(at: Here, kept: KeptPlan) -> list[str]:
    """The setbacks that a plan deals with; none where it was made for another reason.

    Raises
    ------
    BookError
        Something has been recorded, or has happened, since it was worked out.
    """
    assert at.week is not None
    if plan_file(at.book, at.who, kept.number).plan.past is None:
        return []
    week, began = at.week.id, _began(at, kept)
    open_ = [s for s in setbacks(at.book, at.who, week) if s.open]
    late = any(s.arrived > began for s in open_)
    recorded = [e for e in record_of(at.book, at.who, week) if e.arrived > began]
    if late or recorded:
        what = "something else has happened" if late else "cooks have recorded more"
        raise BookError(
            f"Since plan {kept.number} was worked out {what}: work it out anew under Setback. "
            "Nothing was changed."
        )
    return [s.id for s in open_]


def besides(at: Here, kept: KeptPlan) -> tuple[str, ...]:
    """What a proposal means besides who does what: what stood warm, was not tended, is left."""
    if plan_file(at.book, at.who, kept.number).plan.past is None:
        return ()
    return _besides(at.book.where, at.who.kitchen, kept.number, at, kept)


@st.cache_resource(show_spinner=False, max_entries=24)
def _besides(
    where: str, kitchen: str, number: int, _at: Here, _kept: KeptPlan
) -> tuple[str, ...]:
    at, kept = _at, _kept
    assert at.week is not None
    file, broken = plan_file(at.book, at.who, number), _broken(at, kept)
    if broken is None or file.plan.past is None:
        return ()
    began = _began(at, kept)
    happened = [
        setback_of({"kind": s.kind, **s.body}) for s in setbacks(at.book, at.who, at.week.id)
        if s.arrived <= began and (s.open or s.answered == number)
    ]  # fmt: skip
    now = file.scenario.clock.local(file.plan.past.now).replace(tzinfo=None)
    try:
        what = asked(text_of(at.book, at.who, broken), happened, now)
    except BadInput:  # It was adjusted, or a word of it has been taken back since.
        return ()
    return tuple(said_besides(what, file))


def _broken(at: Here, kept: KeptPlan) -> int | None:
    """The plan that had broken, however often its proposal was bettered since."""
    by_number = {p.number: p for p in at.plans}
    past = plan_file(at.book, at.who, kept.number).plan.past
    number = kept.replaces
    while number in by_number:
        before = plan_file(at.book, at.who, number).plan.past
        if past is None or before is None or before.now != past.now:
            return number
        number = by_number[number].replaces
    return None


def _began(at: Here, kept: KeptPlan) -> datetime:
    """When it began to be worked out."""
    assert at.week is not None
    found = jobs(at.book, at.who, at.week.id)
    return next((j.began for j in found if j.number == kept.number), kept.at)

"""A plan that was made because something had happened, on its way to the wall."""

from __future__ import annotations

from scheduler.book.errors import BookError
from scheduler.book.jobs import jobs
from scheduler.book.plans import KeptPlan
from scheduler.book.record import record_of
from scheduler.book.setbacks import setbacks
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
    week = at.week.id
    began = next(
        (j.began for j in jobs(at.book, at.who, week) if j.number == kept.number), kept.at
    )
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

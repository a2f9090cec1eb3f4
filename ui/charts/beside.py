"""What two plans have people do, in one chart: as it is now, and as it was."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.plan.changes import Comparison, PersonChange
from scheduler.plan.words import Names
from ui.charts.bars import Bar
from ui.charts.rows import Row, rows_of


def beside(found: Comparison, names: Names) -> tuple[Row, ...]:
    """Everybody whose work changes: what they do in the newer plan, and what moved from where.

    Parameters
    ----------
    names : Names
        Of the newer plan.
    """
    now = {row.id: row.bars for row in rows_of(names, "person")}
    return tuple(
        Row(one.person, one.name, (*now.get(one.person, ()), *_was(one))) for one in found.people
    )


def _was(person: PersonChange) -> Iterator[Bar]:
    """Jobs that are elsewhere now, or with somebody else, where they were."""
    for job in person.jobs:
        if job.before is not None and (job.before != job.after or job.kind == "given"):
            start, end = job.before
            yield Bar("was", start, end, f"was: {job.what}", (job.said,))


def moments_with(found: Comparison) -> list[int]:
    """The minutes at which something begins that changes, now or before, in order."""
    return sorted({
        span[0] for person in found.people for job in person.jobs
        for span in (job.before, job.after) if span is not None
    })  # fmt: skip

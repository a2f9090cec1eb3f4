"""The log that somebody asks for: of a day, or of a batch."""

from __future__ import annotations

from datetime import date

from scheduler.book.record import record_of
from scheduler.book.roles import Who
from scheduler.outputs.log import curves, rows, unknown
from scheduler.plan.words import day_words
from ui.forms import shown
from ui.phone.hanging import Hangs, Kept
from ui.phone.log import log_page, ways_to


def log_of(kept: Kept, who: Who, there: Hangs, day: date | None, batch: str) -> str:
    """The page of a log.

    Parameters
    ----------
    day : date or None
        All that happened on it; None: of a batch.
    batch : str
    """
    names = there.sheets.names
    record = record_of(kept.book, who, there.week)
    numbers = {e.number for e in record if e.number is not None}
    plans = {n: there.sheets if n == there.number else kept.of(who, n) for n in sorted(numbers)}
    every = rows(record, plans, there.sheets)
    some = [r for r in every if (r.at.date() == day if day else r.entry.batch == batch)]
    tasks = {r.entry.task for r in some}
    drawn = [c for c in curves(record, plans, there.sheets) if c.task in tasks]
    days = sorted({*there.sheets.days, *(r.at.date() for r in every)})
    batches = sorted(
        {b.id: names.batch(b.id) for b in names.plan.batches}.items(), key=lambda b: (b[1], b[0])
    )
    of = f"{day_words(day)} {day.year}" if day else shown(names.batch(batch))
    silent = unknown(batch, there.sheets, record) if batch else []
    ways = ways_to(who.kitchen, there.week, days, batches)
    now = kept.book.clock().astimezone(names.scenario.clock.zone)
    return log_page(names, f"Record of {of}", ways, some, drawn, silent, now)
